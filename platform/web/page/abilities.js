// What a phone can do besides: each is asked for when it is first needed, and the program goes on without it.
'use strict';

const abilities = {
  lock: null, wanted: false, asked: false, mayClear: false,

  start() {
    document.addEventListener('visibilitychange', () => abilities.stayAwake());
    const {missing} = page.keeper;
    if (missing.length > 0) {
      page.notice(missing.length > 1 ? 'This browser keeps nothing: the log is in memory only, and is lost when this page closes.'
        : 'This browser keeps the log in one place only, not in two.', 'Save a copy of the log from Choices when the visit is done.');
    }
  },

  shown(screen, inVisit) {
    abilities.wanted = inVisit;
    abilities.stayAwake();
    if (abilities.mayClear && !inVisit) setTimeout(abilities.tellMayClear, 0);   // not within the program's own turn
  },

  // The display stays on while a visit is open and the page is looked at.
  async stayAwake() {
    if (!navigator.wakeLock) return;
    try {
      if (abilities.wanted && document.visibilityState === 'visible') {
        if (!abilities.lock || abilities.lock.released) abilities.lock = await navigator.wakeLock.request('screen');
      } else if (abilities.lock) {
        const lock = abilities.lock;
        abilities.lock = null;
        await lock.release();
      }
    } catch (refused) {
      console.log('the display may go dark: ' + refused);   // a low battery, for one
    }
  },

  // An answer is saved: felt in the hand.
  kept(well) {
    if (page.inVisit && navigator.vibrate) navigator.vibrate(well ? 15 : [60, 60, 60]);
    if (well) abilities.askToStay();
  },

  // Asked at the first answer that is saved: what is not persistent the browser may clear when space is short. That is
  // told when the visit is left, and again after a month.
  async askToStay() {
    if (abilities.asked || !page.inVisit || !navigator.storage || !navigator.storage.persist) return;
    abilities.asked = true;
    abilities.mayClear = !(await navigator.storage.persisted() || await navigator.storage.persist());
  },
  tellMayClear() {
    if (!abilities.mayClear) return;
    abilities.mayClear = false;
    const month = 30 * 24 * 3600 * 1000;
    try {
      if (Date.now() - Number(localStorage.getItem('beckhand-told') || 0) < month) return;
      localStorage.setItem('beckhand-told', String(Date.now()));
    } catch (refused) { /* told each time, then */ }
    page.notice('This browser may clear the log when the device is short of space.',
      'Put Beckhand on the home screen, and save a copy of the log from Choices.');
  },

  // About 150 words a minute, as on Linux.
  say(lines) {
    const voices = window.speechSynthesis ? speechSynthesis.getVoices() : [];
    if (!window.speechSynthesis || (voices.length > 0 && !voices.some(one => one.localService))) return false;
    speechSynthesis.cancel();
    for (const line of lines) {
      const said = new SpeechSynthesisUtterance(line);
      said.lang = 'en';
      said.rate = 0.9;
      speechSynthesis.speak(said);
    }
    return true;
  },
  hush() { if (window.speechSynthesis) speechSynthesis.cancel(); },

  notGiven: 'Nothing was given: the choice of where to was closed.',
  // False when the person closed the choice of where to.
  async giveFile(name, bytes) {
    const type = name.endsWith('.pdf') ? 'application/pdf' : 'application/octet-stream';
    const file = new File([bytes], name, {type});
    if (navigator.canShare && navigator.canShare({files: [file]})) {
      try {
        await navigator.share({files: [file], title: name});
        return true;
      } catch (refused) {
        if (refused.name === 'AbortError') return false;
      }
    }
    const link = document.createElement('a');
    link.href = URL.createObjectURL(file);
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    return true;
  },
};
