// The page's sheet: copies and hand-overs as files, what others gave, the camera on codes, the demo. And the field in
// which a phone's keyboard writes.
'use strict';

const sheet = {
  button(words, press) {
    const button = document.createElement('button');
    button.textContent = words;
    button.onclick = press;
    return button;
  },
  lines: texts => texts.map(text => {
    const line = document.createElement('p');
    line.textContent = text;
    return line;
  }),
  show(...parts) {
    const place = element('sheet');
    place.replaceChildren(...parts);
    place.hidden = false;
    place.scrollTop = 0;
  },
  close() {
    scanner.stop();
    element('sheet').hidden = true;
    page.due(0);
  },

  open() {
    const {sites, device} = JSON.parse(page.text('beckhand_sites'));
    sheet.show(
      sheet.button('Back', sheet.close),
      ...sheet.lines(['This device: ' + device]),
      sheet.button('Save a copy of the whole log', () => sheet.give('')),
      ...sites.map(site => sheet.button('Hand over as a file: ' + site.name, () => sheet.give(site.id))),
      sheet.button('Take in a file', sheet.choose),
      sheet.button('Scan codes from another device', () => scanner.start()),
      page.demo ? sheet.button('Leave the demo', () => { location.search = ''; })
        : sheet.button('Look at the demo (a log of its own)', () => { location.search = '?demo'; }));
  },

  trouble(words) { sheet.show(...sheet.lines([words]), sheet.button('Back', sheet.open)); },

  // The file is given once what the log notes about it is kept.
  async give(site) {
    const answer = JSON.parse(page.text('beckhand_seal', site));
    if (answer.trouble) return sheet.trouble(answer.trouble);
    const bytes = sheet.given(answer.bytes);
    await page.keeper.settled();
    const given = await abilities.giveFile(answer.name, bytes);
    sheet.show(...sheet.lines([given ? answer.name + ' was given to this device: ' + bytes.length + ' bytes.'
      : abilities.notGiven]), sheet.button('Back', sheet.open));
  },
  given(size) {
    const at = Module._beckhand_given();
    return HEAPU8.slice(at, at + size);
  },

  choose() {
    const asked = document.createElement('input');
    asked.type = 'file';
    asked.onchange = async () => sheet.lookAt(new Uint8Array(await asked.files[0].arrayBuffer()));
    asked.click();
  },
  withBytes(call, bytes) {
    const at = Module._malloc(Math.max(1, bytes.length));
    HEAPU8.set(bytes, at);
    const answer = JSON.parse(Module.ccall(call, 'string', ['number', 'number'], [at, bytes.length]));
    Module._free(at);
    return answer;
  },
  lookAt: bytes => sheet.ask(sheet.withBytes('beckhand_look_at', bytes)),
  ask(answer) {
    if (answer.trouble) return sheet.trouble(answer.trouble);
    if (answer.receipt) return sheet.show(...sheet.lines(answer.lines), sheet.button('Back', sheet.open));
    const from = answer.own ? 'Signed by this device itself.'
      : 'Signed by ' + answer.signer + '. Compare these digits with those the other device shows.';
    return sheet.show(...sheet.lines([...answer.lines, from]), sheet.button('Take it in', sheet.take),
      sheet.button('Leave it', sheet.open));
  },
  async take() {
    const answer = JSON.parse(page.text('beckhand_take_in'));
    if (answer.trouble) return sheet.trouble(answer.trouble);
    const receipt = sheet.given(answer.bytes);
    if (!await page.keeper.settled()) return sheet.trouble('The browser did not keep this: nothing was taken in.');
    return sheet.show(...sheet.lines(['Taken in.']),
      sheet.button('Give the receipt to the other device', () => abilities.giveFile(answer.name, receipt)),
      sheet.button('Back', sheet.open));
  },
};

// A field of the kit is written in through a field of the page that lies over it.
const field = {
  id: '',
  // Over the kit's field wherever that is now; gone where it is gone.
  follow() {
    if (!field.id) return;
    const over = page.controls().find(one => one.role === 'field' && one.id === field.id && !one.clipped);
    if (over) field.lie(over);
    else element('field').blur();
  },
  start() {
    const input = element('field');
    for (const name of ['keydown', 'keyup', 'keypress']) {
      input.addEventListener(name, event => {
        event.stopPropagation();   // the program must not hear it as well
        if (name === 'keydown' && event.key === 'Enter') input.blur();
      });
    }
    input.addEventListener('input', () => Module.ccall('beckhand_write', null, ['string', 'string'], [field.id, input.value]));
    input.addEventListener('blur', () => { input.hidden = true; field.id = ''; });
    element('canvas').addEventListener('touchend', event => field.tapped(event.changedTouches[0]));
    element('canvas').addEventListener('mouseup', event => field.tapped(event));
  },
  tapped(point) {
    const place = element('canvas').getBoundingClientRect(), density = page.density() || 1;
    const x = (point.clientX - place.left) * density, y = (point.clientY - place.top) * density;
    const hit = page.controls().find(one => one.role === 'field' && !one.clipped &&
      x >= one.x && x <= one.x + one.w && y >= one.y && y <= one.y + one.h);
    const input = element('field');
    if (!hit) return input.blur();
    field.id = hit.id;
    input.value = hit.label;
    field.lie(hit);
    input.hidden = false;
    input.focus();
  },
  lie(hit) {
    const input = element('field'), place = element('canvas').getBoundingClientRect(), density = page.density() || 1;
    input.style.left = place.left + hit.x / density + 'px';
    input.style.top = place.top + hit.y / density + 'px';
    input.style.width = hit.w / density + 'px';
    input.style.height = hit.h / density + 'px';
    input.style.fontSize = Math.max(16, hit.letter / density) + 'px';
  },
};
