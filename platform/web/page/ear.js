// The microphone, open exactly while the program listens. Pieces of sound go to it as they come; nothing is kept.
'use strict';

const ear = {
  wanted: false, stream: null, context: null,

  async listen(on) {
    ear.wanted = on;
    if (!on) return ear.close();
    if (ear.stream) return;
    if (!navigator.mediaDevices || !window.AudioContext) return ear.cannot('This browser gives no microphone.');
    try {
      // As it is: what a telephone takes for noise is the beat.
      const plain = {echoCancellation: false, noiseSuppression: false, autoGainControl: false};
      ear.stream = await navigator.mediaDevices.getUserMedia({audio: plain});
    } catch (refused) {
      return ear.cannot(refused.name === 'NotAllowedError' ? 'The microphone is not allowed here.' : 'There is no microphone that can be used.');
    }
    if (!ear.wanted) return ear.close();   // the person has gone on meanwhile
    ear.context = new AudioContext();
    const pieces = ear.context.createScriptProcessor(4096, 1, 1);
    pieces.onaudioprocess = event => ear.heard(event.inputBuffer.getChannelData(0), event.inputBuffer.sampleRate);
    ear.context.createMediaStreamSource(ear.stream).connect(pieces);
    pieces.connect(ear.context.destination);   // silent; without it nothing flows
    ear.stream.getTracks()[0].onended = () => { if (ear.wanted) ear.cannot('The microphone was taken away.'); };
  },

  heard(samples, rate) {
    if (!ear.wanted || page.dead) return;
    const place = Module._malloc(samples.length * 4);
    Module.HEAPF32.set(samples, place >> 2);
    Module._beckhand_heard(place, samples.length, rate);
    Module._free(place);
  },

  cannot(why) {
    ear.close();
    Module.ccall('beckhand_cannot_hear', null, ['string'], [why + ' Tap the beat instead.']);
  },

  close() {
    if (ear.stream) ear.stream.getTracks().forEach(track => track.stop());
    if (ear.context) ear.context.close();
    ear.stream = ear.context = null;
  },
};
