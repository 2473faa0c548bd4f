// What the browser must keep: each storage heals the other, a storage that fails keeps the question where it was, a
// second tab is refused, and a killed browser has lost nothing that was acknowledged. BECKHAND_KILLS=200 for the long form.
'use strict';
const assert = require('node:assert'), test = require('node:test');
const {Hand, PATIENCE, SITE, newProfile, serve, sleep, startBrowser} = require('./hand.js');

let server, origin;
test.before(async () => {
  server = await serve(SITE, 0);
  origin = `http://localhost:${server.address().port}`;
});

const settled = hand => hand.page.evaluate(() => window.beckhand.keeper.settled());

// From a page of the same origin that is not the program: the storages are free once that is gone.
async function wipe(hand, database, files) {
  const page = await hand.page.context().newPage();
  await hand.page.close();
  await page.goto(origin + '/manifest.webmanifest');
  await page.evaluate(async ([first, second]) => {
    if (first) {
      await new Promise((good, bad) => {
        const asked = indexedDB.deleteDatabase('beckhand');
        asked.onsuccess = good;
        asked.onerror = bad;
      });
    }
    const root = await navigator.storage.getDirectory();
    for (const name of second ? ['beckhand.one', 'beckhand.two'] : []) {
      for (let tries = 0; ; ++tries) {   // the program's worker may not be gone yet
        try { await root.removeEntry(name); break; } catch (held) { if (tries > 100) throw held; }
        await new Promise(good => setTimeout(good, 100));
      }
    }
  }, [database, files]);
  await page.close();
}

test('each storage deleted in turn is healed by the other; both deleted, the log is empty', {timeout: 300000 * PATIENCE}, async () => {
  const browser = await startBrowser(newProfile());
  let hand = await (await Hand.on(browser.context, origin)).started();
  await hand.siteWithVisit();
  await settled(hand);
  const digest = await hand.digest();
  assert.ok(digest.entries >= 2);
  for (const name of ['database', 'files', 'database']) {
    await wipe(hand, name === 'database', name === 'files');
    hand = await (await Hand.on(browser.context, origin)).started();
    assert.deepStrictEqual(await hand.page.evaluate(() => window.beckhand.keeper.healed), [name]);
    assert.deepStrictEqual(await hand.digest(), digest);
    await settled(hand);
    await hand.page.evaluate(() => Promise.all(window.beckhand.keeper.storages.map(one => one.healing)));
  }
  await wipe(hand, true, true);   // the control: without either nothing is left
  hand = await (await Hand.on(browser.context, origin)).started();
  assert.strictEqual((await hand.digest()).entries, 0);
  await browser.close();
});

test('a save that one storage refuses leaves the question, says so, and the next one is kept', {timeout: 300000 * PATIENCE}, async () => {
  const browser = await startBrowser(newProfile());
  let hand = await (await Hand.on(browser.context, origin)).started();
  await hand.siteWithVisit();
  await settled(hand);
  const before = await hand.digest();
  await hand.page.evaluate(() => {
    const [storage] = window.beckhand.keeper.storages, put = storage.put;
    storage.put = () => { storage.put = put; return Promise.reject(new Error('refused for this test')); };
  });
  await hand.press('something_else');
  await hand.see('read');
  assert.ok((await hand.controls()).some(one => /not saved/.test(one.label)));
  assert.deepStrictEqual(await hand.digest(), before);
  await hand.press('read');
  await sleep(1000);   // that one of the two storages is out is said as well
  if ((await hand.controls()).some(one => one.id === 'read')) await hand.press('read');
  await hand.press('something_else');   // still there
  for (let i = 0; i < 300 && (await hand.digest()).entries === before.entries; ++i) await sleep(20);
  await settled(hand);
  const after = await hand.digest();
  assert.ok(after.entries > before.entries);
  await hand.page.close();
  hand = await (await Hand.on(browser.context, origin)).started();
  assert.deepStrictEqual(await hand.digest(), after);
  await browser.close();
});

test('a second tab is refused with a sentence, and takes over when the first is closed', {timeout: 300000 * PATIENCE}, async () => {
  const browser = await startBrowser(newProfile());
  const first = await (await Hand.on(browser.context, origin)).started();
  await first.siteWithVisit();
  const second = await Hand.on(browser.context, origin);
  await second.page.waitForFunction(() => /open already/.test(document.getElementById('words').textContent), null, {timeout: 20000 * PATIENCE});
  assert.ok(!await second.page.evaluate(() => window.beckhand.started));
  await first.page.bringToFront();   // a page that is not looked at draws nothing
  await first.press('something_else');
  await settled(first);
  const digest = await first.digest();
  await first.page.close();
  await second.started();
  assert.deepStrictEqual(await second.digest(), digest);
  await browser.close();
});

// The control: two that both write, as if the browser had no locks. One of the two answers is gone.
test('without the lock two tabs would lose an answer, and that is seen', {timeout: 300000 * PATIENCE}, async () => {
  const profile = newProfile();
  let browser = await startBrowser(profile);
  await browser.context.addInitScript(() => Object.defineProperty(Navigator.prototype, 'locks', {get: () => undefined}));
  const first = await (await Hand.on(browser.context, origin)).started();
  await first.siteWithVisit();
  await settled(first);
  const {entries} = await first.digest();
  const second = await (await Hand.on(browser.context, origin)).started();
  await second.read(/in one place only/);
  for (const hand of [first, second]) {
    await hand.page.bringToFront();
    const before = await hand.kept();
    await hand.press('something_else');
    for (let i = 0; i < 300 && await hand.kept() === before; ++i) await sleep(20);
  }
  await browser.close();
  browser = await startBrowser(profile);
  const after = await (await (await Hand.on(browser.context, origin)).started()).digest();
  assert.strictEqual(after.entries, entries + 1);   // not both
  await browser.close();
});

// Kills the browser as many times, each at the moment when an answer is acknowledged; how many entries were
// acknowledged at the end, and after how many kills one of them was gone.
async function killed(times, lie = () => {}) {
  const profile = newProfile();
  let acknowledged = 0, lost = 0;
  for (let kill = 0; ; ++kill) {
    const browser = await startBrowser(profile);
    const hand = await (await Hand.on(browser.context, origin)).started();
    if ((await hand.digest()).entries < acknowledged) ++lost;
    if (kill === times) {
      await browser.close();
      return {lost, acknowledged};
    }
    if (kill === 0) await hand.siteWithVisit();
    await settled(hand);
    await hand.page.evaluate(lie);
    await hand.page.evaluate(() => {
      const kept = window.beckhand.keeper.told.kept;
      window.beckhand.keeper.told.kept = (number, well) => {
        kept(number, well);
        console.log('acknowledged ' + JSON.parse(window.beckhand.text('beckhand_digest')).entries);
      };
    });
    const told = new Promise(good => hand.page.on('console', message => {
      const said = /^acknowledged (\d+)$/.exec(message.text());
      if (said) good(Number(said[1]));
    }));
    answerSomething(hand).catch(() => {});   // what it looks at after its touch is gone by then
    acknowledged = await told;
    browser.kill();
    await sleep(50);
  }
}

test('a browser killed when an answer is acknowledged has lost none of them', {timeout: 3600000 * PATIENCE}, async () => {
  const kills = Number(process.env.BECKHAND_KILLS || 10), {lost, acknowledged} = await killed(kills);
  console.log(`killed ${kills} times at an acknowledged answer: ${lost} lost of ${acknowledged} entries`);
  assert.strictEqual(lost, 0);
  assert.ok(acknowledged >= kills);
});

// The control: what is acknowledged before the storages have it is gone, and the same count sees it.
test('a keeper that lies loses what it acknowledged', {timeout: 300000 * PATIENCE}, async () => {
  const {lost} = await killed(1, () => { window.beckhand.keeper.put = () => Promise.resolve(); });
  assert.strictEqual(lost, 1);
});

// Any answer: the visit goes on where it stopped; a new one is begun when it is over.
async function answerSomething(hand) {
  const controls = await hand.controls();
  const has = id => controls.some(one => one.id === id && one.enabled);
  const sight = controls.find(one => one.role === 'answer' && !one.clipped);
  if (sight) return hand.press(sight.id);
  for (const id of ['cannot', 'cannot_tell', 'could_not', 'go_on', 'check_this', 'visit']) if (has(id)) return hand.press(id);
  throw new Error('nothing to answer on ' + JSON.stringify(controls.map(one => one.id)));
}
