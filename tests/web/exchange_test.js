// The browser's program and the one for Linux are one: bundles go both ways with the same digest, case files give the
// same findings, and the camera reads the other's codes.
'use strict';
const assert = require('node:assert'), fs = require('node:fs'), path = require('node:path'), test = require('node:test');
const {execFileSync} = require('node:child_process');
const {Hand, PATIENCE, ROOT, SITE, newProfile, serve, startBrowser} = require('./hand.js');

const PROGRAM = process.env.BECKHAND_PROGRAM || path.join(ROOT, '.build/beckhand');
const desktop = (data, ...words) => execFileSync(PROGRAM, ['--data', data, ...words], {encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe']});

let server, origin, browser;
test.before(async () => {
  server = await serve(SITE, 0);
  origin = `http://localhost:${server.address().port}`;
  browser = await startBrowser(newProfile());
});
test.after(() => browser.close());

async function openSheet(hand) {
  await hand.press('choices');
  await hand.press('device');
  await hand.page.waitForSelector('#sheet:not([hidden])');
  await hand.page.evaluate(() => { abilities.giveFile = (name, bytes) => { window.given = [...bytes]; }; });
}
async function given(hand, file) {
  await hand.page.waitForFunction(() => window.given);
  fs.writeFileSync(file, Buffer.from(await hand.page.evaluate(() => window.given)));
  await hand.page.evaluate(() => { delete window.given; });
}
async function takeIn(hand, file, receipt) {
  await openSheet(hand);
  const chooser = hand.page.waitForEvent('filechooser');
  await hand.tapOn(hand.page.getByText('Take in a file'));
  await (await chooser).setFiles(file);
  await hand.tapOn(hand.page.getByText('Take it in'));
  await hand.tapOn(hand.page.getByText('Give the receipt'));
  await given(hand, receipt);
  await hand.page.evaluate(() => window.beckhand.keeper.settled());
}

test('a bundle from Linux to the browser and on, by file: the same digest, and the receipt is believed', {timeout: 240000 * PATIENCE}, async () => {
  const one = newProfile(), two = newProfile(), file = name => path.join(one, name);
  desktop(one, 'demo', '--fill');
  desktop(one, 'hand-over', 'Quillabeck', '--to', file('a.bundle'));
  let hand = await (await Hand.on(browser.context, origin)).started();
  await takeIn(hand, file('a.bundle'), file('a.receipt'));
  const digest = await hand.digest();
  assert.ok(digest.entries > 50, 'entries ' + digest.entries);
  assert.match(desktop(one, 'take-in', file('a.receipt')), new RegExp(`${digest.entries} entries arrived`));

  // From here to another Linux, and from there to another browser.
  await hand.tapOn(hand.page.getByText('Back').first());
  await hand.tapOn(hand.page.getByText('Hand over as a file: Quillabeck'));
  await given(hand, file('b.bundle'));
  await hand.page.close();
  desktop(two, 'take-in', '--yes', file('b.bundle'));
  const checked = desktop(two, 'log', 'check');
  assert.match(checked, new RegExp(`^${digest.entries} entries`));
  assert.ok(checked.includes(digest.digits), `${checked} and ${digest.digits}`);
  desktop(two, 'hand-over', 'Quillabeck', '--to', file('c.bundle'));
  const other = await startBrowser(newProfile());
  hand = await (await Hand.on(other.context, origin)).started();
  await takeIn(hand, file('c.bundle'), file('c.receipt'));
  assert.deepStrictEqual(await hand.digest(), digest);
  await other.close();
});

test('a share that the person closes is not told as done', {timeout: 120000 * PATIENCE}, async () => {
  const hand = await (await Hand.on(browser.context, origin)).started();
  await hand.page.evaluate(() => {
    navigator.canShare = () => true;
    navigator.share = () => Promise.reject(new DOMException('closed', 'AbortError'));
  });
  await hand.press('choices');
  await hand.press('device');
  await hand.tapOn(hand.page.getByText('Save a copy of the whole log'));
  await hand.page.getByText('Nothing was given').waitFor({timeout: 10000 * PATIENCE});
  assert.strictEqual(await hand.page.getByText('was given to this device').count(), 0);
  await hand.page.close();
});

// Two things: what is shown is the same to the last sign, the order of the causes and every word among it; and the
// figures behind it agree to 1e-12. Those cannot agree to the last bit: two C libraries have their own log and exp, each
// right to about one unit in the last place (2e-16), and a belief is a sum of some hundred of them.
const CLOSE = 1e-12;
let furthest = 0;
function sameFigures(here, there, where) {
  if (typeof here === 'number' && typeof there === 'number') {
    const off = here === there ? 0 : Math.abs(here - there) / Math.max(Math.abs(here), Math.abs(there));
    furthest = Math.max(furthest, off);
    assert.ok(off <= CLOSE, `${where}: ${here} and ${there}`);
  } else if (here && there && typeof here === 'object' && typeof there === 'object') {
    assert.deepStrictEqual(Object.keys(here), Object.keys(there), where);
    for (const key of Object.keys(here)) sameFigures(here[key], there[key], where + '.' + key);
  } else {
    assert.strictEqual(here, there, where);
  }
}

test('case files give the same findings', {timeout: 240000 * PATIENCE}, async t => {
  const hand = await (await Hand.on(browser.context, origin)).started();
  t.after(() => hand.page.close());   // also when it fails: the next page would be refused
  const folder = path.join(ROOT, 'tests/cases'), cases = fs.readdirSync(folder).filter(name => name.endsWith('.toml'));
  assert.ok(cases.length >= 8);
  for (const name of cases) {
    let there;
    try { there = desktop(newProfile(), 'case', '--json', path.join(folder, name)); } catch (other) { there = other.stdout; }   // another cause than the file names
    const here = await hand.page.evaluate(text => window.beckhand.text('beckhand_case', text), fs.readFileSync(path.join(folder, name), 'utf8'));
    sameFigures(JSON.parse(here), JSON.parse(there), name);
    const whole = text => JSON.parse(text, (key, value) => (key === 'chance' ? undefined : value));
    assert.deepStrictEqual(whole(here), whole(there), name);   // all that is shown, and minutes, which are sums of whole ones
    assert.match(there, /"shown": "\d+\.\d %"/);
  }
  console.log(`${cases.length} cases: the same words and figures; chances furthest apart by ${furthest.toExponential(1)} of themselves`);
});

test('codes on one screen are read by the other\'s camera', {timeout: 240000 * PATIENCE}, async () => {
  const from = await (await Hand.on(browser.context, origin + '/?demo')).started();
  await from.press((await from.controls()).find(one => /^Quillabeck/.test(one.label)).id);
  await from.press('codes');
  await from.see('back');
  const other = await startBrowser(newProfile());
  const to = await (await Hand.on(other.context, origin)).started();
  let answer = null;
  for (let pictures = 0; pictures < 600; ++pictures) {
    const picture = (await from.page.screenshot()).toString('base64');
    answer = await to.page.evaluate(async bytes => {
      const image = await createImageBitmap(await (await fetch('data:image/png;base64,' + bytes)).blob());
      const pen = new OffscreenCanvas(image.width, image.height).getContext('2d');
      pen.drawImage(image, 0, 0);
      return scanner.see(pen.getImageData(0, 0, image.width, image.height));
    }, picture);
    if (answer && answer.have === undefined) break;
  }
  assert.ok(answer && answer.lines, 'the bundle was not whole: ' + JSON.stringify(answer));
  assert.ok(answer.lines.some(line => /Quillabeck/.test(line)), JSON.stringify(answer.lines));
  await from.page.close();
  await other.close();
});
