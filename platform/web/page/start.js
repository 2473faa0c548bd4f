// Starts the program: takes the lock that keeps a second tab away, opens what the storages hold, and calls the program
// when something has happened or is due. In between nothing runs.
'use strict';

const element = id => document.getElementById(id);

function say(...sentences) {
  const words = element('words');
  words.replaceChildren(...sentences.map(sentence => {
    const line = document.createElement('p');
    line.textContent = sentence;
    return line;
  }));
  words.hidden = false;
}

const page = {
  // With ?demo: the demo's year at invented sites, in a log of its own.
  demo: new URLSearchParams(location.search).has('demo'),
  get log() { return page.demo ? 'beckhand-demo' : 'beckhand'; },
  frame: 0, timer: 0, working: false, screen: '', inVisit: false, dead: false,

  due(seconds) {
    if (page.dead) return;
    clearTimeout(page.timer);
    if (seconds > 0) {
      page.timer = setTimeout(() => page.due(0), Math.ceil(seconds * 1000));
    } else if (page.frame === 0) {
      page.frame = requestAnimationFrame(page.turn);
    }
  },

  turn() {
    page.frame = 0;
    try {
      Module._beckhand_turn();
    } catch (error) {
      page.failed(error);
      throw error;
    }
    field.follow();
    if (!element('words').hidden && Module._beckhand_frames() > 0) element('words').hidden = true;
  },

  moreWork() {
    if (page.working || page.dead) return;
    page.working = true;
    const slice = () => { if (page.work()) setTimeout(slice, 0); else page.working = false; };
    setTimeout(slice, 0);
  },

  work: () => Module._beckhand_work() !== 0,   // a few milliseconds; whether there is more

  failed() {
    page.dead = true;
    say('Beckhand has stopped.', 'What was saved is safe. Load this page again to go on where you were.');
  },

  keep: number => page.keeper.keep(number),
  webgl: document.createElement('canvas').getContext('webgl') !== null,
  density: () => (page.webgl ? window.devicePixelRatio || 1 : 0),   // without, a dot is a dot of the page

  shown(screen, inVisit, ground, ink) {
    const css = colour => '#' + colour.toString(16).padStart(6, '0'), colour = css(ground);
    document.documentElement.style.setProperty('--paper', colour);   // beside notches and rounded corners, and of the sheet
    document.documentElement.style.setProperty('--ink', css(ink));
    document.querySelector('meta[name=theme-color]').content = colour;
    page.screen = screen;
    page.inVisit = inVisit;
    abilities.shown(screen, inVisit);
    offer.look();
  },

  openSheet: () => setTimeout(sheet.open, 0),   // not within the program's own turn
  giveFile: (name, bytes) => abilities.giveFile(name, bytes).then(given => {
    if (!given) page.notice(abilities.notGiven, 'Press it again when it is wanted.');
  }),

  say: lines => abilities.say(lines),
  hush: () => abilities.hush(),
  listen: on => ear.listen(on),
  text: (call, text = '') => Module.ccall(call, 'string', ['string'], [text]),
  controls: () => JSON.parse(Module.ccall('beckhand_controls', 'string', [], [])),
};

page.keeper = new Keeper(page.log, {
  kept: (number, well) => { Module._beckhand_kept(number, well ? 1 : 0); abilities.kept(well); },
  letGo: () => Module._beckhand_let_go(),
  trouble: what => page.notice(what, 'Finish this visit, then save a copy of the log from Choices.'),
});
page.notice = (what, hint) => Module.ccall('beckhand_notice', null, ['string', 'string'], [what, hint]);

// Settles when this tab alone has the log.
function alone() {
  if (!navigator.locks) return Promise.resolve();
  const forever = new Promise(() => {});
  return new Promise(good => {
    navigator.locks.request(page.log, {ifAvailable: true}, lock => {
      if (lock) {
        good();
        return forever;
      }
      say('Beckhand is open already, in another tab or window of this browser.',
        'Go on there. When it is closed, Beckhand starts here by itself.');
      navigator.locks.request(page.log, () => location.reload());
      return undefined;
    });
  });
}

// A new version waits until the person wants it, and is not spoken of in a visit.
const offer = {
  waiting: null, later: false,

  found(worker) {
    offer.waiting = worker;
    offer.look();
  },
  // Whether this worker has another version than the one that is given out.
  ask: (worker, what) => new Promise(good => {
    const both = new MessageChannel();
    both.port1.onmessage = ({data}) => good(data);
    worker.postMessage(what, [both.port2]);
  }),
  look() {
    element('offer').hidden = !offer.waiting || offer.later || page.inVisit;
    element('offer').firstElementChild.textContent = 'A new version of Beckhand is here.';
  },
  async watch() {
    if (!('serviceWorker' in navigator)) return;
    element('offer-later').onclick = () => { offer.later = true; offer.look(); };
    element('offer-yes').onclick = () => offer.ask(offer.waiting, 'take over').then(() => location.reload());
    const registered = await navigator.serviceWorker.register('service_worker.js', {updateViaCache: 'none'});
    const settled = worker => {
      if (worker.state === 'installed' && navigator.serviceWorker.controller) offer.found(worker);
    };
    registered.addEventListener('updatefound', () => {
      const worker = registered.installing;
      worker.addEventListener('statechange', () => settled(worker));
    });
    if (registered.waiting) settled(registered.waiting);
    else if (registered.active && await offer.ask(registered.active, 'another?')) offer.found(registered.active);
  },
};

var Module = {
  page,
  canvas: element('canvas'),
  preRun: [() => {
    addRunDependency('log');
    alone().then(() => page.keeper.load()).then(files => {
      page.keeper.watch(FS, '/beckhand', files);
      removeRunDependency('log');
    }).catch(page.failed);
  }],
  postRun: [() => {
    page.started = true;
    abilities.start();
    field.start();
    offer.watch().catch(error => console.warn('without a service worker: ' + error));
  }],
  onAbort: () => page.failed(),
};
window.beckhand = page;
