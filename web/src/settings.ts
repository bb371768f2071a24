import { effect, signal } from "@preact/signals";

// What a person set for this browser, kept between visits.

export type Unit = "ppm" | "MHz" | "T";
export type Theme = "auto" | "light" | "dark";
export type Numbers = "en" | "de" | "fr";

function stored<T extends string>(name: string, values: readonly T[], otherwise: T) {
  const known = localStorage.getItem(name) as T | null;
  const setting = signal<T>(known && values.includes(known) ? known : otherwise);
  effect(() => localStorage.setItem(name, setting.value));
  return setting;
}

export const unit = stored<Unit>("unit", ["ppm", "MHz", "T"], "ppm");
export const theme = stored<Theme>("theme", ["auto", "light", "dark"], "auto");
export const numbers = stored<Numbers>("numbers", ["en", "de", "fr"], "en");

// Of the caller: what is heard at the bore.
export const tones = stored<"on" | "off">("tones", ["on", "off"], "on");
export const speech = stored<"on" | "off">("speech", ["on", "off"], "on");

const dark = window.matchMedia("(prefers-color-scheme: dark)");
export const isDark = signal(false);

function apply() {
  isDark.value = theme.value === "dark" || (theme.value === "auto" && dark.matches);
  document.documentElement.dataset.theme = isDark.value ? "dark" : "light";
}

effect(apply);
dark.addEventListener("change", apply);
