// Keeps a folder of the program's memory on two storages of the browser: IndexedDB, strictly durable, and a redo log
// in the origin's private files, written by a worker. Something counts as kept when both have answered. Each batch
// has a number; at the start the storage with the higher one is believed and heals the other.
//
// What has changed is noted as it is written, in blocks of 4 KiB, together with what stood there before: when a storage
// fails, the folder is put back to what was kept last.
'use strict';

const BLOCK = 4096;
const PATIENCE_MS = 20000;   // a storage that has not answered by then has failed
const NOT_KEPT = /(\.reserve|-journal|\.part|\.beckhand-trial)$/;

// ---- IndexedDB ----

class Database {
  constructor(log) { this.name = 'database'; this.log = log; }

  async open() {
    this.db = await new Promise((good, bad) => {
      const asked = indexedDB.open(this.log, 1);
      asked.onupgradeneeded = () => ['block', 'file', 'own'].forEach(one => asked.result.createObjectStore(one));
      asked.onsuccess = () => good(asked.result);
      asked.onerror = () => bad(asked.error);
      asked.onblocked = () => bad(new Error('blocked'));
    });
    return this.read();
  }

  async read() {
    const change = this.db.transaction(['block', 'file', 'own'], 'readonly');
    const all = request => new Promise((good, bad) => {
      request.onsuccess = () => good(request.result);
      request.onerror = () => bad(request.error);
    });
    const block = change.objectStore('block'), file = change.objectStore('file');
    const [keys, blocks, names, sizes, sequence] = await Promise.all([
      all(block.getAllKeys()), all(block.getAll()), all(file.getAllKeys()), all(file.getAll()),
      all(change.objectStore('own').get('sequence'))]);
    const files = new Map(names.map((name, i) => [name, new Uint8Array(sizes[i])]));
    keys.forEach(([name, n], i) => {
      const bytes = files.get(name);
      if (bytes && n * BLOCK < bytes.length) bytes.set(blocks[i].subarray(0, bytes.length - n * BLOCK), n * BLOCK);
    });
    return {sequence: sequence || 0, files};
  }

  put(batch) {
    return new Promise((good, bad) => {
      const change = this.db.transaction(['block', 'file', 'own'], 'readwrite', {durability: 'strict'});
      change.oncomplete = () => good();
      change.onabort = change.onerror = () => bad(change.error || new Error('aborted'));
      const block = change.objectStore('block'), file = change.objectStore('file');
      if (batch.full) { block.clear(); file.clear(); }
      for (const name of batch.gone) {
        file.delete(name);
        block.delete(IDBKeyRange.bound([name, 0], [name, Infinity]));
      }
      for (const [name, size] of batch.sizes) {
        file.put(size, name);
        if (!batch.full) block.delete(IDBKeyRange.bound([name, Math.ceil(size / BLOCK)], [name, Infinity]));
      }
      for (const [name, n, bytes] of batch.blocks) block.put(bytes, [name, n]);
      change.objectStore('own').put(batch.sequence, 'sequence');
    });
  }
}

// ---- the origin's private files, by a worker ----

class PrivateFiles {
  constructor(log) { this.name = 'files'; this.log = log; this.asked = new Map(); this.last = 0; }

  async open() {
    this.worker = new Worker('keeper_worker.js');
    this.worker.onmessage = ({data}) => {
      const {good, bad} = this.asked.get(data.id);
      this.asked.delete(data.id);
      data.trouble ? bad(new Error(data.trouble)) : good(data.answer);
    };
    this.worker.onerror = event => {
      for (const {bad} of this.asked.values()) bad(new Error(event.message || 'worker'));
      this.asked.clear();
    };
    const {sequence, files} = await this.ask({what: 'open', log: this.log});
    return {sequence, files: new Map(files)};
  }

  ask(message) {
    const id = ++this.last;
    return new Promise((good, bad) => {
      this.asked.set(id, {good, bad});
      this.worker.postMessage({...message, id});
    });
  }

  // The log has grown long: the next batch holds everything, and the log begins anew with it.
  async put(batch) { this.full = (await this.ask({what: 'put', batch})).long; }
}

function withinPatience(promise) {
  return Promise.race([promise, new Promise((_, bad) => setTimeout(() => bad(new Error('no answer')), PATIENCE_MS))]);
}

function batchOf(files, sequence) {
  const batch = {sequence, full: true, gone: [], sizes: [], blocks: []};
  for (const [name, bytes] of files) {
    batch.sizes.push([name, bytes.length]);
    for (let n = 0; n * BLOCK < bytes.length; ++n) batch.blocks.push([name, n, bytes.slice(n * BLOCK, (n + 1) * BLOCK)]);
  }
  return batch;
}

// ---- what has changed in the folder ----

class Changes {
  constructor(names) {
    this.blocks = new Map();   // node -> Map(number -> what stood there)
    this.sizes = new Map();    // node -> bytes that it had
    this.names = names;        // path -> node, as it was kept last
    this.any = false;
  }

  note(node, from, to) {
    this.any = true;
    if (!this.sizes.has(node)) this.sizes.set(node, node.usedBytes || 0);
    let blocks = this.blocks.get(node);
    if (!blocks) this.blocks.set(node, blocks = new Map());
    for (let n = Math.floor(from / BLOCK); n * BLOCK < to; ++n) {
      if (blocks.has(n)) continue;
      const end = Math.min((n + 1) * BLOCK, node.usedBytes || 0);
      blocks.set(n, n * BLOCK < end ? Uint8Array.from(node.contents.subarray(n * BLOCK, end)) : new Uint8Array(0));
    }
  }
}

class Keeper {
  // log: under which name the storages have it. told: what the page does with news: kept(number, well), letGo(),
  // trouble(sentence)
  constructor(log, told) {
    this.log = log;
    this.told = told;
    this.wanted = [];
    this.busy = false;
    this.storages = [];
    this.sequence = 0;
    this.keptBatches = 0;
  }

  // Opens both storages; the files as they were kept last.
  async load() {
    const states = await Promise.all([new Database(this.log), new PrivateFiles(this.log)].map(storage => withinPatience(storage.open()).then(
      state => ({storage, ...state}), error => ({storage, error}))));
    const open = states.filter(one => !one.error);
    this.missing = states.filter(one => one.error).map(one => one.storage.name);
    this.storages = open.map(one => one.storage);
    const best = open.reduce((a, b) => (b.sequence > a.sequence ? b : a), {sequence: 0, files: new Map()});
    this.sequence = best.sequence;
    this.healed = [];
    for (const one of open) {
      if (one.sequence === best.sequence) continue;
      this.healed.push(one.storage.name);
      one.storage.healing = withinPatience(one.storage.put(batchOf(best.files, best.sequence)));
      one.storage.healing.catch(() => {});
    }
    return best.files;
  }

  // Puts the files into the folder and notes from here on what changes in it.
  watch(FS, folder, files) {
    this.FS = FS;
    this.folder = folder;
    FS.mkdirTree(folder);
    for (const [path, bytes] of files) {
      const full = folder + '/' + path;
      FS.mkdirTree(full.slice(0, full.lastIndexOf('/')));
      FS.writeFile(full, bytes);
    }
    if (files.size === 0) FS.writeFile(folder + '/.there', new Uint8Array(0));
    const table = FS.filesystems.MEMFS.ops_table;
    const inside = node => { const path = FS.getPath(node); return path.startsWith(folder + '/') && !NOT_KEPT.test(path); };
    const keeper = this;
    const write = table.file.stream.write;
    table.file.stream.write = function (stream, buffer, offset, length, position, canOwn) {
      if (length > 0 && inside(stream.node)) keeper.changes.note(stream.node, position, position + length);
      return write(stream, buffer, offset, length, position, canOwn);
    };
    const setattr = table.file.node.setattr;
    table.file.node.setattr = function (node, attr) {
      if (attr.size !== undefined && attr.size !== node.usedBytes && inside(node)) {
        keeper.changes.note(node, Math.min(attr.size, node.usedBytes), Math.max(attr.size, node.usedBytes));
      }
      return setattr(node, attr);
    };
    for (const name of ['mknod', 'rename', 'unlink']) {
      const before = table.dir.node[name];
      table.dir.node[name] = function (...given) { keeper.changes.any = true; return before(...given); };
    }
    this.changes = new Changes(this.walk());
    this.changes.any = files.size === 0;
  }

  walk(folder = this.folder, found = new Map()) {
    const FS = this.FS;
    for (const name of FS.readdir(folder)) {
      if (name === '.' || name === '..') continue;
      const path = folder + '/' + name, node = FS.lookupPath(path).node;
      if (FS.isDir(node.mode)) this.walk(path, found);
      else if (!NOT_KEPT.test(path)) found.set(path.slice(this.folder.length + 1), node);
    }
    return found;
  }

  // number: of who waits; 0 for nobody.
  keep(number) {
    if (number !== 0) this.wanted.push(number);
    if (!this.busy && (this.wanted.length > 0 || this.changes.any)) this.running = this.run();
  }

  // When nothing is under way any more; false when the last batch was not kept.
  settled() {
    this.keep(0);
    return this.running ? this.running.then(() => !this.fell) : Promise.resolve(true);
  }

  async run() {
    this.busy = true;
    this.fell = false;
    while (this.wanted.length > 0 || this.changes.any) {
      const waiting = this.wanted.splice(0), before = this.changes;
      const batch = this.collect(before);
      this.changes = new Changes(batch.names);
      try {
        await this.put(batch);
        ++this.keptBatches;
        waiting.forEach(number => this.told.kept(number, true));
      } catch (error) {
        this.fall(before, waiting, error);
      }
    }
    this.busy = false;
  }

  collect(changes) {
    const names = this.walk();
    const batch = {sequence: ++this.sequence, names, full: false, gone: [], sizes: [], blocks: []};
    for (const path of changes.names.keys()) if (!names.has(path)) batch.gone.push(path);
    for (const [path, node] of names) {
      const fresh = changes.names.get(path) !== node, size = node.usedBytes || 0;
      if (!fresh && !changes.sizes.has(node)) continue;
      batch.sizes.push([path, size]);
      const numbers = fresh ? Array.from({length: Math.ceil(size / BLOCK)}, (_, n) => n) : changes.blocks.get(node).keys();
      if (fresh && changes.names.has(path)) batch.gone.push(path);
      for (const n of numbers) {
        if (n * BLOCK < size) {
          batch.blocks.push([path, n, Uint8Array.from(node.contents.subarray(n * BLOCK, Math.min((n + 1) * BLOCK, size)))]);
        }
      }
    }
    return batch;
  }

  async put(batch) {
    if (this.storages.length === 0) throw new Error('no storage');
    const {names, ...plain} = batch;
    let full = null;
    const everything = () => full = full || batchOf(new Map([...names].map(
      ([path, node]) => [path, Uint8Array.from((node.contents || new Uint8Array(0)).subarray(0, node.usedBytes || 0))])), batch.sequence);
    const answers = await Promise.allSettled(this.storages.map(storage => {
      const given = storage.full || this.behind ? everything() : plain;
      return withinPatience((storage.healing || Promise.resolve()).catch(() => {}).then(() => storage.put(given)));
    }));
    const failed = this.storages.filter((_, i) => answers[i].status === 'rejected');
    this.behind = failed.length > 0;
    if (!this.behind) return;
    // One of the two alone is better than none: it goes on, the person knows, and this save is done again.
    if (failed.length < this.storages.length) {
      this.storages = this.storages.filter(one => !failed.includes(one));
      this.told.trouble('One of the two places where this browser keeps the log does not answer.');
    }
    throw answers.find(one => one.status === 'rejected').reason;
  }

  // Back to what was kept last: what came since is undone first.
  fall(before, waiting, error) {
    console.error('not kept: ' + error);
    this.fell = true;
    const numbers = waiting.concat(this.wanted.splice(0));
    this.told.letGo();
    for (const changes of [this.changes, before]) this.undo(changes);
    this.changes = new Changes(this.walk());
    this.behind = true;
    numbers.forEach(number => this.told.kept(number, false));
    if (numbers.length === 0) this.told.trouble('The browser did not keep what was done last: it is undone.');
  }

  undo(changes) {
    const FS = this.FS;
    for (const [node, size] of changes.sizes) {
      const contents = new Uint8Array(size);
      contents.set((node.contents || new Uint8Array(0)).subarray(0, Math.min(size, node.usedBytes || 0)));
      for (const [n, bytes] of changes.blocks.get(node)) {
        if (n * BLOCK < size) contents.set(bytes.subarray(0, size - n * BLOCK), n * BLOCK);
      }
      node.contents = contents;
      node.usedBytes = size;
    }
    const now = this.walk();
    for (const [path, node] of now) if (changes.names.get(path) !== node) FS.unlink(this.folder + '/' + path);
    for (const [path, node] of changes.names) {
      if (now.get(path) === node) continue;
      const bytes = Uint8Array.from((node.contents || new Uint8Array(0)).subarray(0, node.usedBytes || 0));
      const full = this.folder + '/' + path;
      FS.mkdirTree(full.slice(0, full.lastIndexOf('/')));
      FS.writeFile(full, bytes);
    }
  }
}
