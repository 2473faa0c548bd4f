// Lays out the folder that is put on a web server: the page, the program, the icons, and a service worker that names
// them all and carries their hash as its version.
//   node make_site.js FOLDER PROGRAM_FOLDER
'use strict';
const crypto = require('node:crypto'), fs = require('node:fs'), path = require('node:path'), zlib = require('node:zlib');
const icons = require('./icons.js');

const [folder, program] = process.argv.slice(2);
const page = path.join(__dirname, 'page');
fs.rmSync(folder, {recursive: true, force: true});
fs.mkdirSync(folder, {recursive: true});

const files = new Map();
for (const name of fs.readdirSync(page)) files.set(name, fs.readFileSync(path.join(page, name)));
for (const name of ['beckhand.js', 'beckhand.wasm']) files.set(name, fs.readFileSync(path.join(program, name)));
files.set('icon.svg', Buffer.from(icons.svg()));
files.set('icon-192.png', icons.png(192));
files.set('icon-512.png', icons.png(512));
files.set('icon-mask-512.png', icons.png(512, 0.75));

const worker = files.get('service_worker.js').toString();
const names = [...files.keys()].filter(name => name !== 'service_worker.js').sort();
const hash = crypto.createHash('sha256').update(worker);
names.forEach(name => hash.update(name + '\0').update(files.get(name)));
const version = hash.digest('hex').slice(0, 16);
// The page is kept under the address by which it is opened.
const kept = JSON.stringify(names.map(name => name === 'index.html' ? './' : name));
files.set('service_worker.js', Buffer.from(worker.replace('@VERSION@', version).replace('@FILES@', kept)));

let plain = 0, packed = 0;
for (const [name, bytes] of files) {
  fs.writeFileSync(path.join(folder, name), bytes);
  plain += bytes.length;
  packed += zlib.gzipSync(bytes, {level: 9}).length;
}
console.log(`${folder}: version ${version}, ${files.size} files, ${Math.round(plain / 1000)} kB, compressed ${Math.round(packed / 1000)} kB`);
