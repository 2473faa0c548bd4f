// Writes the log's folder as a redo log into the origin's private files. Two files: one is written on, the other is
// begun anew with everything when the first has grown long. A record counts when its check sum is right; what follows
// a broken one does not.
//   record: magic, bytes of the head, bytes of the body, CRC-32 of both, as 32 bits each; head as JSON; body
'use strict';

const BLOCK = 4096, MAGIC = 0x42484b31, FIXED = 16;
const LONG = 4 * 1024 * 1024;   // a log longer than this, and than four times what it holds, is folded

const table = new Uint32Array(256).map((_, n) => {
  let c = n;
  for (let k = 0; k < 8; ++k) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});
function crc32(bytes) {
  let c = 0xffffffff;
  for (let i = 0; i < bytes.length; ++i) c = table[(c ^ bytes[i]) & 255] ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

function encode(batch) {
  const head = new TextEncoder().encode(JSON.stringify({
    sequence: batch.sequence, full: batch.full, gone: batch.gone, sizes: batch.sizes,
    blocks: batch.blocks.map(([name, n, bytes]) => [name, n, bytes.length])}));
  const body = batch.blocks.reduce((sum, [, , bytes]) => sum + bytes.length, 0);
  const record = new Uint8Array(FIXED + head.length + body);
  record.set(head, FIXED);
  let at = FIXED + head.length;
  for (const [, , bytes] of batch.blocks) { record.set(bytes, at); at += bytes.length; }
  const fixed = new DataView(record.buffer);
  [MAGIC, head.length, body, crc32(record.subarray(FIXED))].forEach((value, i) => fixed.setUint32(4 * i, value, true));
  return record;
}

// The files after all sound records, and where the next record goes.
function decode(log) {
  let files = new Map(), sequence = 0, at = 0;
  const view = new DataView(log.buffer, log.byteOffset, log.byteLength);
  while (at + FIXED <= log.length && view.getUint32(at, true) === MAGIC) {
    const headSize = view.getUint32(at + 4, true), bodySize = view.getUint32(at + 8, true);
    const end = at + FIXED + headSize + bodySize;
    if (end > log.length || crc32(log.subarray(at + FIXED, end)) !== view.getUint32(at + 12, true)) break;
    const head = JSON.parse(new TextDecoder().decode(log.subarray(at + FIXED, at + FIXED + headSize)));
    if (head.full) files = new Map();
    for (const name of head.gone) files.delete(name);
    for (const [name, size] of head.sizes) {
      const old = files.get(name);
      let room = old ? old.room : new Uint8Array(size);
      if (room.length < size) {
        room = new Uint8Array(2 * size);   // a log that grows is not copied for each record
        room.set(old.room.subarray(0, old.size));
      }
      files.set(name, {room, size});
    }
    let from = at + FIXED + headSize;
    for (const [name, n, size] of head.blocks) {
      files.get(name).room.set(log.subarray(from, from + size), n * BLOCK);
      from += size;
    }
    sequence = head.sequence;
    at = end;
  }
  return {files: new Map([...files].map(([name, {room, size}]) => [name, room.slice(0, size)])), sequence, at};
}

const logs = [];    // {handle, at}
let current = 0, held = 0;

function writeAll(handle, bytes, at) {
  for (let done = 0; done < bytes.length;) {
    const some = handle.write(bytes.subarray(done), {at: at + done});
    if (!(some > 0)) throw new Error('write');
    done += some;
  }
}

async function open(log) {
  const root = await navigator.storage.getDirectory();
  let best = {files: new Map(), sequence: 0};
  for (const name of [log + '.one', log + '.two']) {
    const file = await root.getFileHandle(name, {create: true});
    const handle = await file.createSyncAccessHandle();
    const bytes = new Uint8Array(handle.getSize());
    handle.read(bytes, {at: 0});
    const state = decode(bytes);
    if (state.sequence > best.sequence) { best = state; current = logs.length; }
    logs.push({handle, at: state.at});
  }
  held = [...best.files.values()].reduce((sum, bytes) => sum + bytes.length, 0);
  return {sequence: best.sequence, files: [...best.files]};
}

function put(batch) {
  const record = encode(batch);
  if (batch.full) {
    const other = logs[1 - current];
    other.handle.truncate(0);
    writeAll(other.handle, record, 0);
    other.handle.flush();
    other.at = record.length;
    logs[current].handle.truncate(0);
    logs[current].handle.flush();
    logs[current].at = 0;
    current = 1 - current;
    held = record.length;
  } else {
    const log = logs[current];
    writeAll(log.handle, record, log.at);
    log.handle.flush();
    log.at += record.length;
  }
  return {long: logs[current].at > Math.max(LONG, 4 * held)};
}

onmessage = async ({data}) => {
  try {
    postMessage({id: data.id, answer: data.what === 'open' ? await open(data.log) : put(data.batch)});
  } catch (error) {
    postMessage({id: data.id, trouble: String(error)});
  }
};
