// The whole demo visit by touch with the server gone: from the list of sites to the proof and the log, then again from
// what the browser kept.
'use strict';
const assert = require('node:assert'), test = require('node:test');
const {Hand, PATIENCE, SITE, newProfile, serve, sleep, startBrowser, stop} = require('./hand.js');

async function say(hand, said) {
  const before = await hand.kept();
  for (const what of Hand.presses(said)) {
    if (what.key) await hand.press(what.key);
    else if (what.past) await hand.readOn(what.past, what.to);
    else if (what.hold) await hand.press(what.hold, {held: 1400});
    else await hand.press(what);
  }
  for (let i = 0; i < 400 && await hand.kept() === before; ++i) await sleep(10);
  assert.ok(await hand.kept() > before, 'not kept: ' + JSON.stringify(said));
}

test('the demo visit by touch, without a server, and again after a new start', {timeout: 240000 * PATIENCE}, async () => {
  const profile = newProfile();
  let browser = await startBrowser(profile);
  const server = await serve(SITE, 0), address = `http://localhost:${server.address().port}/?demo`;
  let hand = await (await Hand.on(browser.context, address)).started();
  await hand.page.waitForFunction(() => navigator.serviceWorker.controller, null, {timeout: 30000 * PATIENCE});
  await hand.page.waitForFunction(() => window.beckhand.keeper.settled().then(() => true));
  stop(server);

  const site = (await hand.controls()).find(one => /^Quillabeck/.test(one.label));
  await hand.press(site.id);
  await hand.press('visit');
  const screens = new Set();
  for (let steps = 0; ; ++steps) {
    assert.ok(steps < 60, 'the visit does not end');
    screens.add(await hand.screen());
    await hand.picture(`${String(steps).padStart(2, '0')}_${await hand.screen()}`);
    const said = await hand.advice();
    if (!said) break;
    await say(hand, said);
  }
  for (const one of ['first_sight', 'question', 'finding', 'check', 'read_first', 'fix', 'verdict']) assert.ok(screens.has(one), one + ' was not seen: ' + [...screens]);
  await hand.press('close_proved', {held: 1400});
  await hand.see('sites');
  await hand.press('sites');
  await hand.read(/may clear the log/);   // said once, and not in the visit
  await hand.see('log');
  await hand.picture('97_sites');
  await hand.press('log');
  await sleep(450);
  await hand.picture('98_log');
  const log = await hand.controls();
  const ours = log.find(one => one.role === 'row' && /Quillabeck/.test(one.label));
  assert.match(ours.label, /Fixed|fixed/);
  const digest = await hand.digest();
  assert.deepStrictEqual(hand.console.filter(line => /error/i.test(line)), []);
  await browser.close();

  browser = await startBrowser(profile);
  const began = Date.now();
  hand = await (await Hand.on(browser.context, address)).started();
  console.log(`offline, in a new browser: ${Date.now() - began} ms to the first screen`);
  assert.deepStrictEqual(await hand.digest(), digest);
  await hand.press('log');
  await sleep(450);
  assert.ok((await hand.controls()).some(one => one.label === ours.label));
  await browser.close();
});

test('the page\'s field goes with the field it lies on, and has the light that was chosen', {timeout: 120000 * PATIENCE}, async () => {
  const browser = await startBrowser(newProfile()), server = await serve(SITE, 0);
  const hand = await (await Hand.on(browser.context, `http://localhost:${server.address().port}`)).started();
  await hand.press('new_site');
  await hand.press('name');
  await hand.page.waitForSelector('#field:not([hidden])');
  await hand.page.keyboard.type('Far Ghyll');
  await hand.press('save');   // without Enter
  await hand.see('visit');
  assert.ok(await hand.page.isHidden('#field'), 'it lies over the next screen');
  assert.ok((await hand.controls()).some(one => /Far Ghyll/.test(one.label)), 'the name was not kept');

  const colours = () => hand.page.evaluate(() => ['body', '#field', '#sheet'].map(one => getComputedStyle(document.querySelector(one)).backgroundColor));
  assert.deepStrictEqual([...new Set(await colours())], ['rgb(255, 255, 255)']);
  await hand.press('back');
  await hand.press('choices');
  await hand.press('theme_night');
  await sleep(300);
  const [ground, ...others] = await colours();
  assert.notStrictEqual(ground, 'rgb(255, 255, 255)');
  assert.deepStrictEqual(others, [ground, ground]);
  await browser.close();
  stop(server);
});
