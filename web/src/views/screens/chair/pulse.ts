/**
 * One soft pulse when a time is reached: a tone, a vibration, and the screen; never the sound alone.
 *
 * Reaching what was asked is one pulse. A clinic's upper limit is three. The full alarm work (proof
 * of sound, repeats, a second person) is not here.
 */

import { useEffect } from "preact/hooks";
import { type DueTimer, onDue } from "../../../store/due";

/** 660 Hz with soft flanks: below the noise of dental drives, above that of suction. [Hz], [s] */
const TONE_HZ = 660;
const TONE_S = 0.22;
const GAP_S = 0.2;
const VIBRATE_MS = 200;

let audio: AudioContext | null = null;

/** Browsers let sound out only after a tap; the first one anywhere opens the way. */
function openAudio(): void {
  audio ??= new AudioContext();
  void audio.resume().catch(() => undefined);
}

/** Ring for this visit's timers while the chair is shown. */
export function usePulse(visit: string): void {
  useEffect(() => {
    addEventListener("pointerdown", openAudio, { once: true });
    const off = onDue((due, late) => {
      if (due.visit === visit && !late) pulse(due);
    });
    return () => {
      removeEventListener("pointerdown", openAudio);
      off();
    };
  }, [visit]);
}

function pulse({ timer }: DueTimer): void {
  const times = timer.upper_limit ? 3 : 1;
  for (let index = 0; index < times; index += 1) tone(index * (TONE_S + GAP_S));
  const pattern = Array.from({ length: times * 2 - 1 }, () => VIBRATE_MS);
  if (navigator.userActivation?.hasBeenActive && "vibrate" in navigator) navigator.vibrate(pattern);
}

function tone(afterS: number): void {
  if (audio === null || audio.state !== "running") return;
  const start = audio.currentTime + afterS;
  const oscillator = audio.createOscillator();
  const gain = audio.createGain();
  oscillator.type = "triangle";
  oscillator.frequency.value = TONE_HZ;
  gain.gain.setValueAtTime(0, start);
  gain.gain.linearRampToValueAtTime(0.35, start + 0.03);
  gain.gain.exponentialRampToValueAtTime(0.001, start + TONE_S);
  oscillator.connect(gain).connect(audio.destination);
  oscillator.start(start);
  oscillator.stop(start + TONE_S);
}
