// Lengths as the dresser writes them. The server reads them, and says in words what is to be bought
// or is left; here they are only shown and passed on.

const MM = { mm: 1, cm: 10, in: 25.4, m: 1000, yd: 914.4 };
const BARE = /^[0-9]+(\.[0-9]+)?$/;
const NO_UNIT = /^[0-9\s.,/⁄½¼¾⅓⅔⅛⅜⅝⅞-]+$/;

function gcd(a, b) {
  return b ? gcd(b, a % b) : a;
}

function mixed(count, parts) {
  const whole = Math.floor(count / parts);
  const rest = count % parts;
  if (!rest) return String(whole);
  const common = gcd(rest, parts);
  const fraction = `${rest / common}/${parts / common}`;
  return whole ? `${whole} ${fraction}` : fraction;
}

// To the nearest mark of the tape: 1 mm, a sixteenth of an inch, 1 cm of a metre, an eighth of a yard.
export function amount(mm, unit) {
  const parts = { mm: 1, cm: 10, m: 100, yd: 8, in: 16 }[unit];
  const count = Math.round((Math.abs(mm) / MM[unit]) * parts);
  const sign = mm < 0 && count ? "-" : "";
  if (unit === "in" || unit === "yd") return sign + mixed(count, parts);
  if (unit === "m") return sign + (count / 100).toFixed(2);
  return sign + String(count / parts);
}

export const format = (mm, unit) => `${amount(mm, unit)} ${unit}`;

// A value of the order as its field shows it.
export function written(value, unit) {
  if (value === undefined || value === null) return "";
  if (typeof value !== "number") return typeof value === "string" ? value : JSON.stringify(value);
  if (unit !== "in") return String(value);
  const count = value * 16;
  return Math.abs(count - Math.round(count)) < 1e-9 && value >= 0 ? mixed(Math.round(count), 16) : String(value);
}

// What was typed as a value of the order: a plain number stays one, a fraction says its unit.
export function typedLength(text, unit) {
  const plain = text.trim().replace(/\s+/g, " ");
  if (!plain) return null;
  if (BARE.test(plain)) return Number(plain);
  return NO_UNIT.test(plain) && /[/⁄½¼¾⅓⅔⅛⅜⅝⅞]/.test(plain) ? `${plain} ${unit}` : plain;
}

export function typedNumber(text) {
  const plain = text.trim().replace(",", ".");
  if (!plain) return null;
  return /^-?[0-9]+(\.[0-9]+)?$/.test(plain) ? Number(plain) : text.trim();
}

export function money(value, currency) {
  return value === null || value === undefined ? "" : `${value.toFixed(2)} ${currency || ""}`.trim();
}
