// Numbers and times as the pages write them.

const superfluous = /\.?0+$/;

// `value` with as many decimals as its standard error deserves: two figures of the error.
export function with_error(value: number, sigma: number | undefined): string {
  if (sigma === undefined || !(sigma > 0)) return figure(value);
  const decimals = Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(sigma))));
  return `${value.toFixed(decimals)} ± ${sigma.toFixed(decimals)}`;
}

// Three significant figures, without trailing zeros.
export function figure(value: number, figures = 3): string {
  if (value === 0 || !Number.isFinite(value)) return String(value);
  const decimals = Math.min(6, Math.max(0, figures - 1 - Math.floor(Math.log10(Math.abs(value)))));
  const text = value.toFixed(decimals);
  return text.includes(".") ? text.replace(superfluous, "") : text;
}

export function percent(share: number): string {
  return `${figure(100 * share, share < 0.1 ? 2 : 3)} %`;
}

// "21:07" of an ISO time, UT.
export function clock(utc: string | Date): string {
  return (typeof utc === "string" ? utc : utc.toISOString()).slice(11, 16);
}

export function own_clock(when: Date): string {
  return `${String(when.getHours()).padStart(2, "0")}:${String(when.getMinutes()).padStart(2, "0")}`;
}

const months = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

// "25 November 2026" of an ISO date or time.
export function day(iso: string): string {
  const [year, month, date] = iso.slice(0, 10).split("-").map(Number);
  const name = months[(month ?? 1) - 1];
  return `${date} ${name} ${year}`;
}

export function span(seconds: number): string {
  if (seconds < 90) return `${Math.round(seconds)} s`;
  if (seconds < 90 * 60) return `${Math.round(seconds / 60)} min`;
  return `${figure(seconds / 3600, 2)} h`;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

// A sentence of the program as the pages print it: with a capital, and the signs that a terminal lacks.
export function said(text: string): string {
  return capital(text.replace(/\+-/g, "±").replace(/(\d) deg\b/g, "$1°"));
}
