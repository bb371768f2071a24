import { speech, tones } from "../settings";
import type { Tone } from "./words";

// Tones and speech; each says only what the page shows as well.

const NOTES: Record<Tone, number[]> = {
  ready: [523, 784],
  reading: [330],
  done: [1047],
  repeat: [784, 523, 392],
};
const NOTE_SECONDS = 0.16;

let audio: AudioContext | null = null;
let free = 0; // when the last tone ends

/** Browsers let a page sound only after someone touched it. */
export function allowSound() {
  audio ??= new AudioContext();
  void audio.resume();
}

export function sound(list: Tone[]) {
  if (!audio || tones.value === "off") {
    return;
  }
  for (const tone of list) {
    free = Math.max(free, audio.currentTime);
    for (const pitch of NOTES[tone]) {
      note(audio, pitch, free);
      free += NOTE_SECONDS;
    }
    free += NOTE_SECONDS;
  }
}

function note(on: AudioContext, pitch: number, at: number) {
  const oscillator = on.createOscillator();
  const gain = on.createGain();
  oscillator.frequency.value = pitch;
  gain.gain.setValueAtTime(0, at);
  gain.gain.linearRampToValueAtTime(0.3, at + 0.02);
  gain.gain.linearRampToValueAtTime(0, at + NOTE_SECONDS);
  oscillator.connect(gain).connect(on.destination);
  oscillator.start(at);
  oscillator.stop(at + NOTE_SECONDS);
}

/** Says sentences; what was still being said is dropped, as it is out of date. */
export function say(sentences: string[]) {
  const voice = window.speechSynthesis;
  if (!voice || speech.value === "off" || sentences.length === 0) {
    return;
  }
  voice.cancel();
  for (const sentence of sentences) {
    const utterance = new SpeechSynthesisUtterance(sentence);
    utterance.lang = "en";
    voice.speak(utterance);
  }
}
