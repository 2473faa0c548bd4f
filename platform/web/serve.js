// Serves a folder to this machine alone, packed where the browser takes it: what any web server does.
//   node serve.js FOLDER PORT
'use strict';
const fs = require('node:fs'), http = require('node:http'), path = require('node:path'), zlib = require('node:zlib');

const types = {'.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.wasm': 'application/wasm', '.css': 'text/css',
  '.png': 'image/png', '.svg': 'image/svg+xml', '.webmanifest': 'application/manifest+json'};

function serve(folder, port) {
  const root = path.resolve(folder), packed = new Map();
  const server = http.createServer((request, response) => {
    const wanted = decodeURIComponent(new URL(request.url, 'http://localhost').pathname);
    const file = path.join(root, wanted.endsWith('/') ? wanted + 'index.html' : wanted);
    if (!file.startsWith(root + path.sep) || !fs.existsSync(file)) {
      response.writeHead(404).end();
      return;
    }
    const at = fs.statSync(file).mtimeMs, head = {'Content-Type': types[path.extname(file)] || 'application/octet-stream', 'Cache-Control': 'no-cache'};
    if (!/gzip/.test(request.headers['accept-encoding'] || '')) {
      response.writeHead(200, head).end(fs.readFileSync(file));
      return;
    }
    if (!packed.has(file) || packed.get(file).at !== at) packed.set(file, {at, bytes: zlib.gzipSync(fs.readFileSync(file), {level: 9})});
    response.writeHead(200, {...head, 'Content-Encoding': 'gzip'}).end(packed.get(file).bytes);
  });
  return new Promise((good, bad) => {
    server.on('error', bad);
    server.listen(port, '127.0.0.1', () => good(server));
  });
}

module.exports = {serve};

if (require.main === module) {
  serve(process.argv[2], Number(process.argv[3])).then(
    server => console.log(`Beckhand is at http://localhost:${server.address().port}/`),
    error => { console.error(`It cannot be served: ${error.message}.`); process.exit(1); });
}
