// A browser, a finger on its glass, and eyes that find things by their meaning. Each browser has a profile of its own,
// which stays when it is killed.
'use strict';
const test = require('node:test');
const {spawn} = require('node:child_process');
const fs = require('node:fs'), os = require('node:os'), path = require('node:path');
const {chromium} = require('playwright-core');
const web = require('../../platform/web/serve.js');

const ROOT = path.resolve(__dirname, '../..');
const SITE = process.env.BECKHAND_SITE || path.join(ROOT, '.build/web/site');
// Other work on the machine makes times longer; BECKHAND_PATIENCE=3 lets them be three times as long.
const PATIENCE = Number(process.env.BECKHAND_PATIENCE || 1);
const PHONE = {width: 412, height: 915, deviceScaleFactor: 1, mobile: true};
const running = new Set(), servers = new Set();
test.after(() => {   // also when a test fails: nothing is left that would keep this process alive
  running.forEach(one => one.kill());
  servers.forEach(stop);
});
const sleep = ms => new Promise(good => setTimeout(good, ms));

async function serve(folder, port) {
  const server = await web.serve(folder, port);
  servers.add(server);
  return server;
}
function stop(server) {
  servers.delete(server);
  server.close();
  server.closeAllConnections();
}

function newProfile() { return fs.mkdtempSync(path.join(os.tmpdir(), 'beckhand-web-')); }

// Drawn without a graphics card: a program that draws WebGL by itself takes 150 ms a frame, which no phone does.
async function startBrowser(profile, more = []) {
  const child = spawn('chromium', ['--headless=new', '--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--disable-software-rasterizer',
    '--no-first-run', '--remote-debugging-port=0', '--user-data-dir=' + profile, ...more, 'about:blank'],
  {detached: true, stdio: ['ignore', 'ignore', 'pipe']});
  const address = await new Promise((good, bad) => {
    let said = '';
    child.stderr.on('data', text => {
      said += text;
      const found = /DevTools listening on (ws:\S+)/.exec(said);
      if (found) good(found[1]);
    });
    child.on('exit', () => bad(new Error('chromium did not start: ' + said)));
  });
  const browser = await chromium.connectOverCDP(address);
  const started = {
    browser, child, context: browser.contexts()[0],
    kill() {   // all of it, at once, as a battery does
      running.delete(started);
      try { process.kill(-child.pid, 'SIGKILL'); } catch (gone) { /* it is */ }
    },
    async close() {
      await browser.close().catch(() => {});
      await Promise.race([new Promise(good => child.exitCode === null ? child.on('exit', good) : good()), sleep(3000)]);
      this.kill();
    },
  };
  running.add(started);
  return started;
}

class Hand {
  static async on(context, address, watched = () => {}) {
    const hand = new Hand();
    hand.page = await context.newPage();
    hand.console = [];
    hand.page.on('console', message => { hand.console.push(message.text()); watched(message.text()); });
    hand.page.on('pageerror', error => hand.console.push('error: ' + error.message));
    hand.glass = await context.newCDPSession(hand.page);
    await hand.glass.send('Emulation.setDeviceMetricsOverride', PHONE);
    await hand.glass.send('Emulation.setTouchEmulationEnabled', {enabled: true, maxTouchPoints: 5});
    await hand.page.goto(address, {waitUntil: 'commit'});
    return hand;
  }

  async started() {
    await this.page.waitForFunction(() => window.beckhand && window.beckhand.started && Module._beckhand_frames() > 0, null,
      {timeout: 60000 * PATIENCE, polling: 20});
    return this;
  }

  controls() { return this.page.evaluate(() => window.beckhand.controls()); }
  // What can be pressed, and how it stands; figures that count up by themselves are not in it.
  async standing() {
    return JSON.stringify((await this.controls()).filter(one => one.id).map(one => [one.screen, one.id, one.enabled, one.chosen]));
  }
  async figure() { return (await this.controls()).find(one => one.role === 'figure')?.label; }
  async screen() { return (await this.controls())[0]?.screen; }

  // The control of this id, once it is on the screen and can be pressed.
  async see(id, patience = 20000 * PATIENCE) {
    const until = Date.now() + patience;
    for (;;) {
      const found = (await this.controls()).find(one => one.id === id);
      if (found && found.enabled) return found;
      if (Date.now() > until) throw new Error(`no ${id} on ${JSON.stringify((await this.controls()).map(one => one.id + ':' + one.label)).slice(0, 900)}`);
      await sleep(20);
    }
  }

  touch(type, points) { return this.glass.send('Input.dispatchTouchEvent', {type, touchPoints: points}); }

  async tap(x, y, ms = 70) {
    const down = this.touch('touchStart', [{x, y}]);   // answered when it is heard, which a busy page does late
    await sleep(ms);
    await Promise.all([down, this.touch('touchEnd', [])]);
  }

  // Something of the page's own, not of the program's.
  async tapOn(found) {
    await found.scrollIntoViewIfNeeded();
    const {x, y, width, height} = await found.boundingBox();
    await this.tap(x + width / 2, y + height / 2);
  }

  async drag(x, from, to) {
    await this.touch('touchStart', [{x, y: from}]);
    for (let i = 1; i <= 8; ++i) {
      await this.touch('touchMove', [{x, y: from + (to - from) * i / 8}]);
      await sleep(20);
    }
    await sleep(250);   // rests, so that nothing glides on
    await this.touch('touchEnd', []);
    await sleep(150);
  }

  // Presses what is called so, bringing it into view first.
  async press(id, {held = 70} = {}) {
    let one = await this.see(id);
    await sleep(420);   // after a press that changed the screen, touches are not heard for 350 ms
    one = await this.see(id);
    for (let tries = 0; one.clipped && tries < 12; ++tries) {
      const down = one.y + one.h > PHONE.height - 150;
      await this.drag(PHONE.width - 8, down ? 600 : 300, down ? 300 : 600);
      one = await this.see(id);
    }
    // A touch that a starved machine made too long or too short does not count; a person would touch again.
    for (let tries = 0; tries < 3 && one; ++tries) {
      const look = () => (one.role === 'key' ? this.figure() : this.standing()), before = await look();
      await this.tap(one.x + one.w / 2, one.y + one.h / 2, held);
      if (one.role === 'field') return;
      for (let waited = 0; waited < 2500; waited += 50) {
        if (await look() !== before) return;
        await sleep(50);
      }
      one = (await this.controls()).find(other => other.id === id);
    }
  }

  // A new site with a name, by touch and the page's field; then a visit at it.
  async siteWithVisit() {
    await this.press('new_site');
    await this.press('name');
    await this.page.waitForSelector('#field:not([hidden])');
    await this.page.keyboard.type('Far Ghyll');
    await this.page.keyboard.press('Enter');
    await this.press('save');
    await this.press('visit');
    await this.see('something_else');
  }

  // For whoever wants to see it: with BECKHAND_PICTURES=FOLDER.
  async picture(name) {
    if (!process.env.BECKHAND_PICTURES) return;
    await sleep(500);   // what glides has come to rest
    await this.page.screenshot({path: path.join(process.env.BECKHAND_PICTURES, name + '.png')});
  }

  // What stands before everything else, once it says so.
  async read(words) {
    await this.see('read');
    const said = (await this.controls()).map(one => one.label).join(' ');
    if (!words.test(said)) throw new Error('said instead: ' + said);
    await this.press('read');
  }

  // Down to the end of what is to be read, then on.
  async readOn(past, to) {
    while ((await this.controls()).some(one => one.id === past)) {
      await this.press(past);
      await sleep(500);   // it glides
    }
    await this.press(to);
  }

  kept() { return this.page.evaluate(() => window.beckhand.keeper.keptBatches); }
  advice() { return this.page.evaluate(() => JSON.parse(window.beckhand.text('beckhand_advice') || 'null')); }
  digest() { return this.page.evaluate(() => JSON.parse(window.beckhand.text('beckhand_digest'))); }

  // Which controls say what the person of the demo says next, one after the other.
  static presses(said) {
    switch (said.kind) {
      case 'answered': return said.told ? ['sight_' + said.observation + '_' + said.answer] : [said.answer];
      case 'began': return ['go_on'];
      case 'measured': return [...said.typed].map(sign => ({key: sign})).concat('accept');
      case 'not_measured': return ['cannot'];
      case 'fix_chosen': return ['check_this'];
      case 'checked': return [said.result];
      case 'step_ticked': return (said.step === 0 ? [{past: 'more_below', to: 'have_read'}] : []).concat('step_' + (said.step + 1));
      case 'fix_finished': return ['all_done'];
      case 'proof_seen': return [said.yes ? 'yes' : 'no'];
      case 'judged': return ['go_on'];
      case 'safe_now': return [{hold: 'safe_now'}];
      default: throw new Error('no way to say ' + JSON.stringify(said));
    }
  }
}

module.exports = {Hand, PATIENCE, ROOT, SITE, newProfile, serve, sleep, startBrowser, stop};
