// Draws the program's icon: the air vessel of a ram on its pipe, the waste valve, the water below. Every shape is a
// line with round ends, so that the same list gives SVG and PNG.
'use strict';
const zlib = require('node:zlib');

const GROUND = [0, 71, 122], WHITE = [255, 255, 255], WATER = [86, 180, 233];

// x1, y1, x2, y2, width, colour; in a square of 100
const lines = [
  [50, 28, 50, 44, 26, WHITE],
  [50, 50, 50, 64, 9, WHITE],
  [18, 66, 82, 66, 10, WHITE],
  [27, 52, 27, 64, 7, WHITE],
  [22, 50, 32, 50, 6, WHITE],
];
for (let x = 20; x < 80; x += 2) {
  const height = at => 82 + 3 * Math.sin(at * Math.PI / 10);
  lines.push([x, height(x), x + 2, height(x + 2), 4.5, WATER]);
}

function svg() {
  const colour = ([r, g, b]) => `rgb(${r},${g},${b})`;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect width="100" height="100" rx="18" fill="${colour(GROUND)}"/>` +
    lines.map(([x1, y1, x2, y2, width, paint]) => `<line x1="${x1}" y1="${y1.toFixed(2)}" x2="${x2}" y2="${y2.toFixed(2)}" ` +
      `stroke="${colour(paint)}" stroke-width="${width}" stroke-linecap="round"/>`).join('') + '</svg>\n';
}

function distance(x, y, [x1, y1, x2, y2]) {
  const dx = x2 - x1, dy = y2 - y1;
  const along = Math.max(0, Math.min(1, ((x - x1) * dx + (y - y1) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(x - x1 - along * dx, y - y1 - along * dy);
}

function chunk(name, bytes) {
  const whole = Buffer.concat([Buffer.from(name), bytes]), out = Buffer.alloc(whole.length + 8);
  out.writeUInt32BE(bytes.length, 0);
  whole.copy(out, 4);
  out.writeUInt32BE(crc32(whole), whole.length + 4);
  return out;
}
function crc32(bytes) {
  let c = 0xffffffff;
  for (const byte of bytes) {
    c ^= byte;
    for (let k = 0; k < 8; ++k) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  }
  return (c ^ 0xffffffff) >>> 0;
}

// scale below 1 leaves a margin, for icons that are cut to a shape
function png(size, scale = 1) {
  const rows = Buffer.alloc(size * (size * 3 + 1));
  for (let row = 0; row < size; ++row) {
    for (let column = 0; column < size; ++column) {
      const x = ((column + 0.5) * 100 / size - 50) / scale + 50, y = ((row + 0.5) * 100 / size - 50) / scale + 50;
      let paint = GROUND;
      for (const line of lines) {
        const cover = Math.max(0, Math.min(1, (line[4] / 2 - distance(x, y, line)) * size * scale / 100 + 0.5));
        paint = paint.map((old, i) => old + (line[5][i] - old) * cover);
      }
      paint.forEach((value, i) => { rows[row * (size * 3 + 1) + 1 + column * 3 + i] = Math.round(value); });
    }
  }
  const head = Buffer.alloc(13);
  head.writeUInt32BE(size, 0);
  head.writeUInt32BE(size, 4);
  head.set([8, 2, 0, 0, 0], 8);   // eight bits, red green blue
  return Buffer.concat([Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]), chunk('IHDR', head),
    chunk('IDAT', zlib.deflateSync(rows, {level: 9})), chunk('IEND', Buffer.alloc(0))]);
}

module.exports = {svg, png};
