// The beat by the browser's microphone, given a recording to hear; and without a microphone the program goes on.
'use strict';
const assert = require('node:assert'), fs = require('node:fs'), path = require('node:path'), test = require('node:test');
const {Hand, PATIENCE, SITE, newProfile, serve, sleep, startBrowser} = require('./hand.js');

// A pump that never was: a damped tone at each beat, over a hiss of one fortieth of its loudness. Mono, 16 bits, and a
// whole number of beats, for the browser plays it again and again.
function recording(file, beatsPerMinute) {
  const rate = 48000, beats = 30, every = Math.round(rate * 60 / beatsPerMinute), count = beats * every;
  const wave = Buffer.alloc(44 + 2 * count);
  wave.write('RIFF', 0); wave.writeUInt32LE(36 + 2 * count, 4); wave.write('WAVEfmt ', 8);
  wave.writeUInt32LE(16, 16); wave.writeUInt16LE(1, 20); wave.writeUInt16LE(1, 22);
  wave.writeUInt32LE(rate, 24); wave.writeUInt32LE(2 * rate, 28); wave.writeUInt16LE(2, 32); wave.writeUInt16LE(16, 34);
  wave.write('data', 36); wave.writeUInt32LE(2 * count, 40);
  let seed = 7;
  const hiss = () => { seed = (seed * 1103515245 + 12345) % 2147483648; return seed / 1073741824 - 1; };
  for (let i = 0; i < count; ++i) {
    const t = (i % every) / rate;
    wave.writeInt16LE(Math.round(24000 * (0.9 * Math.exp(-t / 0.03) * Math.sin(2 * Math.PI * 700 * t) + hiss() / 40)), 44 + 2 * i);
  }
  fs.writeFileSync(file, wave);
}

let server, origin;
test.before(async () => {
  server = await serve(SITE, 0);
  origin = `http://localhost:${server.address().port}/?demo`;
});

// To where the microphone is asked to listen: the beat, on a round at a site of the demo.
async function toListening(browser) {
  const hand = await (await Hand.on(browser.context, origin)).started();
  await hand.press((await hand.controls()).find(one => /^Quillabeck/.test(one.label)).id);
  await hand.press('trend');
  await hand.press('round');
  await hand.press('take_B');
  await hand.press('help_measure');
  await hand.see('way_0');
  await hand.press((await hand.controls()).find(one => /microphone/.test(one.label)).id);
  return hand;
}
const labels = async hand => (await hand.controls()).map(one => one.label);

for (const beats of [48, 90]) {
  test(`${beats} beats a minute are heard by the microphone, and it is let go of`, {timeout: 180000 * PATIENCE}, async () => {
    const profile = newProfile(), file = path.join(profile, 'pump.wav');
    recording(file, beats);
    const browser = await startBrowser(profile, ['--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream',
      '--use-file-for-fake-audio-capture=' + file]);
    const hand = await toListening(browser);
    await hand.page.waitForFunction(() => window.beckhand.controls().some(one => one.id === 'use' && one.enabled), null,
      {timeout: 90000 * PATIENCE, polling: 500});
    await hand.picture(`heard_${beats}`);
    const said = (await labels(hand)).join('\n');
    assert.ok(await hand.page.evaluate(() => ear.stream !== null));
    await hand.press('use');
    await hand.see('take_B');
    const row = (await hand.controls()).find(one => one.id === 'take_B').label;
    const heard = Number(/([\d.]+) beats\/min/.exec(row + said)[1]);
    assert.ok(Math.abs(heard - beats) <= 0.02 * beats, `heard ${heard}: ${row}\n${said}`);
    assert.ok(await hand.page.evaluate(() => ear.stream === null), 'still open');
    await browser.close();
  });
}

test('where the microphone is not allowed the program says so and offers the taps', {timeout: 120000 * PATIENCE}, async () => {
  const browser = await startBrowser(newProfile(), ['--deny-permission-prompts']);
  const hand = await toListening(browser);
  await hand.page.waitForFunction(() => window.beckhand.controls().some(one => /not allowed|no microphone/.test(one.label)), null,
    {timeout: 20000 * PATIENCE});
  await hand.picture('not_allowed');
  await hand.press('tap_instead');
  for (let i = 0; i < 100 && (await labels(hand)).some(one => /microphone/.test(one)); ++i) await sleep(50);
  assert.ok(!(await labels(hand)).some(one => /microphone/.test(one)));
  await browser.close();
});
