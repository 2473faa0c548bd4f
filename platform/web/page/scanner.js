// The camera on the codes of another device. It is asked for when it is needed, and let go of when all is there.
'use strict';

const scanner = {
  stream: null,

  async start() {
    try {
      scanner.stream = await navigator.mediaDevices.getUserMedia({video: {facingMode: 'environment', width: {ideal: 1280}}});
    } catch (refused) {
      sheet.trouble('There is no camera that this page may use. Let the other device give a file.');
      return;
    }
    const video = document.createElement('video'), words = sheet.lines(['Hold the camera on the codes.'])[0];
    video.srcObject = scanner.stream;
    video.playsInline = video.muted = true;
    video.style.width = '100%';
    sheet.show(video, words, sheet.button('Stop', () => { scanner.stop(); sheet.open(); }));
    await video.play();
    scanner.look(video, words, document.createElement('canvas'));
  },

  look(video, words, canvas) {
    if (!scanner.stream) return;
    canvas.width = video.videoWidth;
    canvas.height = video.videoHeight;
    if (canvas.width > 0) {
      const pen = canvas.getContext('2d', {willReadFrequently: true});
      pen.drawImage(video, 0, 0);
      const answer = scanner.see(pen.getImageData(0, 0, canvas.width, canvas.height));
      if (answer && answer.have === undefined) {
        scanner.stop();
        sheet.ask(answer);
        return;
      }
      if (answer && answer.parts > 0) words.textContent = answer.have + ' of ' + answer.parts + ' parts are here.';
    }
    setTimeout(() => scanner.look(video, words, canvas), 30);
  },

  // A picture as the canvas gives it, red green blue and how opaque; what the program says of it, null without a code.
  see({data, width, height}) {
    const at = Module._malloc(width * height);
    const grey = HEAPU8.subarray(at, at + width * height);
    for (let i = 0; i < grey.length; ++i) grey[i] = (77 * data[4 * i] + 150 * data[4 * i + 1] + 29 * data[4 * i + 2]) >> 8;
    const words = Module.ccall('beckhand_see', 'string', ['number', 'number', 'number'], [at, width, height]);
    Module._free(at);
    return words ? JSON.parse(words) : null;
  },

  stop() {
    if (scanner.stream) scanner.stream.getTracks().forEach(track => track.stop());
    scanner.stream = null;
  },
};
