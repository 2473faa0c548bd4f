// How large, how soon, how still: the figures a phone at the creek depends on; and a new version that waits.
'use strict';
const assert = require('node:assert'), fs = require('node:fs'), path = require('node:path'), test = require('node:test'), zlib = require('node:zlib');
const {Hand, PATIENCE, SITE, newProfile, serve, sleep, startBrowser, stop} = require('./hand.js');

test('what is fetched before the first question is at most 1.5 MB, packed as web servers can (RFC 7932)', () => {
  const scripts = [...fs.readFileSync(path.join(SITE, 'index.html'), 'utf8').matchAll(/<script src="([^"]+)"/g)].map(found => found[1]);
  const first = ['index.html', 'page.css', 'keeper_worker.js', 'beckhand.wasm', ...scripts];
  const gzip = first.reduce((sum, name) => sum + zlib.gzipSync(fs.readFileSync(path.join(SITE, name)), {level: 9}).length, 0);
  const brotli = first.reduce((sum, name) => sum + zlib.brotliCompressSync(fs.readFileSync(path.join(SITE, name))).length, 0);
  console.log(`to the first question: gzip ${gzip}, brotli ${brotli} bytes`);
  assert.ok(brotli <= 1500000, `${brotli} bytes`);
});

async function toFirstQuestion(hand) {
  await hand.siteWithVisit();
  await hand.press('something_else');
  for (let i = 0; i < 200 && await hand.screen() !== 'question' && await hand.screen() !== 'measure'; ++i) await sleep(20);
}

test('soon, still, and without a server from the second start on', {timeout: 240000 * PATIENCE}, async () => {
  const profile = newProfile(), server = await serve(SITE, 0), origin = `http://localhost:${server.address().port}`;
  let browser = await startBrowser(profile);
  let began = Date.now();
  let hand = await (await Hand.on(browser.context, origin)).started();
  const cold = Date.now() - began;
  await toFirstQuestion(hand);

  // From the finger that leaves the glass until the next question stands on it: the first frame drawn after the save was
  // acknowledged, and the display's turn after that.
  const times = [];
  for (let i = 0; i < 8; ++i) {
    const answer = (await hand.controls()).find(one => (one.role === 'answer' || one.id === 'cannot' || one.id === 'cannot_tell') && !one.clipped);
    if (!answer) break;
    await sleep(700);
    const before = await hand.standing();
    await hand.page.evaluate(() => {
      window.took = new Promise(good => {
        let up = 0;
        document.getElementById('canvas').addEventListener('touchend', event => { up = event.timeStamp; }, {once: true});
        const kept = window.beckhand.keeper.keptBatches, turn = Module._beckhand_turn;
        Module._beckhand_turn = () => {
          const saved = window.beckhand.keeper.keptBatches > kept;
          turn();
          if (!up || !saved) return;
          Module._beckhand_turn = turn;
          requestAnimationFrame(() => good(performance.now() - up));
        };
      });
    });
    await hand.tap(answer.x + answer.w / 2, answer.y + answer.h / 2);
    times.push(await hand.page.evaluate(() => window.took));
    assert.notStrictEqual(await hand.standing(), before, 'the next question was not there');
  }
  assert.ok(times.length >= 5, 'questions');
  times.sort((a, b) => a - b);
  const middle = times[Math.floor(times.length / 2)];
  console.log(`first screen ${cold} ms; next question, kept and drawn: median ${Math.round(middle)} ms, longest ${Math.round(times[times.length - 1])} ms of ${times.length}`);

  await sleep(3000);
  const frames = await hand.page.evaluate(() => Module._beckhand_frames());
  await sleep(10000);
  assert.strictEqual(await hand.page.evaluate(() => Module._beckhand_frames()), frames, 'frames at rest');

  // Pump seconds for each second by the watch; beside it for each of this thread's own, where other programs of the machine
  // are not in it.
  await hand.glass.send('Performance.enable', {timeDomain: 'threadTicks'});
  const ownSeconds = async () => (await hand.glass.send('Performance.getMetrics')).metrics.find(one => one.name === 'ThreadTime').value;
  const before = await ownSeconds(), minutes = 10;
  const byWatch = await hand.page.evaluate(n => Module.ccall('beckhand_pump_speed', 'number', ['number'], [n]), minutes);
  const byThread = 60 * minutes / (await ownSeconds() - before);
  console.log(`virtual pump: ${Math.round(byWatch)} times real time by the watch; of the thread's own time ${Math.round(byThread)}`);
  await hand.page.waitForFunction(() => navigator.serviceWorker.controller, null, {timeout: 30000 * PATIENCE});
  await browser.close();
  stop(server);

  browser = await startBrowser(profile);
  began = Date.now();
  hand = await (await Hand.on(browser.context, origin)).started();
  const again = Date.now() - began;
  console.log(`without a server, in a new browser: ${again} ms`);
  const trouble = await hand.glass.send('Page.getInstallabilityErrors');
  assert.deepStrictEqual(trouble.installabilityErrors, []);
  await browser.close();
  assert.ok(cold < 3000 * PATIENCE, `first screen after ${cold} ms`);
  assert.ok(again < 2000 * PATIENCE, `again after ${again} ms`);
  assert.ok(middle < 100 * PATIENCE, `next question after ${middle} ms`);
  assert.ok(byWatch >= 500, `pump at ${byWatch} times real time`);
});

// The virtual pump works beside the drawing; a finger is heard between its slices.
test('what is worked out beside the drawing is cut into short slices', {timeout: 240000 * PATIENCE}, async () => {
  const browser = await startBrowser(newProfile()), server = await serve(SITE, 0);
  const hand = await (await Hand.on(browser.context, `http://localhost:${server.address().port}/?demo`)).started();
  await hand.page.evaluate(() => {
    window.slices = [];
    const work = window.beckhand.work;
    window.beckhand.work = () => {
      const began = performance.now(), more = work();
      window.slices.push(performance.now() - began);
      return more;
    };
  });
  await hand.press((await hand.controls()).find(one => /^Quillabeck/.test(one.label)).id);
  await hand.press('visit');
  await hand.see('something_else');
  await hand.page.waitForFunction(() => !window.beckhand.working || window.slices.length > 200, null, {timeout: 200000, polling: 500});
  const slices = (await hand.page.evaluate(() => window.slices)).sort((a, b) => a - b);
  const at = share => slices[Math.min(slices.length - 1, Math.floor(slices.length * share))];
  console.log(`slices of work: ${slices.length}, median ${at(0.5).toFixed(1)} ms, nine of ten under ${at(0.9).toFixed(1)} ms, longest ${at(1).toFixed(0)} ms`);
  assert.ok(slices.length > 20);
  assert.ok(at(0.9) < 34 * PATIENCE, 'two frames of a display: ' + at(0.9));
  await browser.close();
  stop(server);
});

test('a new version waits: not in a visit, not before it is wanted', {timeout: 120000 * PATIENCE}, async () => {
  const folder = newProfile();
  fs.cpSync(SITE, folder, {recursive: true});
  const server = await serve(folder, 0), origin = `http://localhost:${server.address().port}`;
  const browser = await startBrowser(newProfile());
  let hand = await (await Hand.on(browser.context, origin)).started();
  await hand.page.waitForFunction(() => navigator.serviceWorker.controller, null, {timeout: 30000 * PATIENCE});
  await toFirstQuestion(hand);
  const front = path.join(folder, 'index.html');   // something to tell them apart by
  fs.writeFileSync(front, fs.readFileSync(front, 'utf8').replace('<head>', '<head><meta name="another">'));
  const worker = path.join(folder, 'service_worker.js');
  fs.writeFileSync(worker, fs.readFileSync(worker, 'utf8').replace(/VERSION = '.*'/, "VERSION = 'another'"));
  await hand.page.evaluate(() => navigator.serviceWorker.getRegistration().then(one => one.update()));
  await hand.page.waitForFunction(() => navigator.serviceWorker.getRegistration().then(one => one.waiting !== null));
  await sleep(300);
  assert.ok(await hand.page.isHidden('#offer'), 'offered in a visit');
  await hand.page.close();
  hand = await (await Hand.on(browser.context, origin)).started();   // the visit goes on where it was
  assert.strictEqual(await hand.page.locator('meta[name=another]').count(), 0);   // also when no page held the old version any more
  assert.ok(await hand.page.isHidden('#offer'), 'offered in a visit');
  if (!(await hand.controls()).some(one => one.id === 'leave')) await hand.press('more');
  await hand.press('leave');
  await hand.page.waitForSelector('#offer:not([hidden])', {timeout: 5000 * PATIENCE});
  await Promise.all([hand.page.waitForNavigation(), hand.tapOn(hand.page.locator('#offer-yes'))]);
  await hand.started();
  assert.strictEqual(await hand.page.locator('meta[name=another]').count(), 1);
  assert.deepStrictEqual((await hand.page.evaluate(() => caches.keys())).sort(), ['beckhand-another', 'beckhand-chosen']);
  await browser.close();
  stop(server);
});
