/* Reads a tag's QR code with the browser's own detector and sends what it says
   as if it had been typed: the server decides whether it is a tag of ours.
   Where there is no detector or no camera, the button stays hidden. */

const EVERY_MS = 200;

async function canScan() {
  if (!("BarcodeDetector" in window)) return false;
  if (!navigator.mediaDevices?.getUserMedia) return false;
  const formats = await BarcodeDetector.getSupportedFormats();
  return formats.includes("qr_code");
}

function part(form, name) {
  return form.querySelector(`[data-scan-${name}]`);
}

class Scanner {
  constructor(form) {
    this.form = form;
    this.view = part(form, "view");
    this.video = part(form, "video");
    this.words = part(form, "words");
    this.detector = new BarcodeDetector({ formats: ["qr_code"] });
    this.stream = null;
    this.view.addEventListener("close", () => this.stop());
    part(form, "close").addEventListener("click", () => this.view.close());
    addEventListener("pagehide", () => this.stop());
  }

  async start() {
    this.words.textContent = "Hold the tag before the camera.";
    this.view.showModal();
    try {
      const stream = await navigator.mediaDevices.getUserMedia({
        video: { facingMode: "environment" },
      });
      this.stream = stream;
      if (!this.view.open) return this.stop();
      this.video.srcObject = stream;
      await this.video.play();
    } catch {
      this.words.textContent =
        "The camera cannot be used. Close this and type the code on the tag.";
      return this.stop();
    }
    this.look();
  }

  stop() {
    this.stream?.getTracks().forEach((track) => track.stop());
    this.stream = null;
    this.video.srcObject = null;
  }

  async look() {
    if (!this.stream) return;
    let seen = [];
    try {
      seen = await this.detector.detect(this.video);
    } catch {
      // The picture was not ready; the next look comes soon.
    }
    if (!this.stream) return;
    if (seen.length) return this.take(seen[0].rawValue);
    setTimeout(() => this.look(), EVERY_MS);
  }

  take(value) {
    this.view.close();
    this.form.elements.code.value = value;
    this.form.requestSubmit();
  }
}

document.querySelectorAll("[data-scan-form]").forEach(async (form) => {
  if (!(await canScan())) return;
  const scanner = new Scanner(form);
  const button = form.querySelector("[data-scan]");
  button.addEventListener("click", () => scanner.start());
  button.hidden = false;
});
