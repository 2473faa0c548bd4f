// The other side of calls.h. All of it is in page/: here are only the ways there.
mergeInto(LibraryManager.library, {
  beckhand_due: function (seconds) { Module.page.due(seconds); },
  beckhand_more_work: function () { Module.page.moreWork(); },
  beckhand_event_age: function () { return window.event ? performance.now() - window.event.timeStamp : 0; },
  beckhand_keep: function (number) { Module.page.keep(number); },
  beckhand_give_file: function (name, bytes, size) {
    Module.page.giveFile(UTF8ToString(name), HEAPU8.slice(bytes, bytes + size));
  },
  beckhand_say: function (lines) { return Module.page.say(UTF8ToString(lines).split('\n').filter(line => line)) ? 1 : 0; },
  beckhand_hush: function () { Module.page.hush(); },
  beckhand_listen: function (on) { Module.page.listen(on !== 0); },
  beckhand_shown: function (screen, inVisit, ground, ink) { Module.page.shown(UTF8ToString(screen), inVisit !== 0, ground, ink); },
  beckhand_wants_demo: function () { return Module.page.demo ? 1 : 0; },
  beckhand_sheet: function () { Module.page.openSheet(); },
  beckhand_density: function () { return Module.page.density(); },
});
