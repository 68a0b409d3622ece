// Quantities in the job's units, as on the setup sheet. Everything inside is mm, seconds, degrees.

const INCH = 25.4;
export const FULL_TURN = 2 * Math.PI;

export function makeSay(units) {
  const inch = units === "inch";
  const per = inch ? INCH : 1;
  const places = inch ? 4 : 3;
  const unit = inch ? "in" : "mm";
  return {
    unit,
    length: (mm) => `${(mm / per).toFixed(places)} ${unit}`,
    bare: (mm) => signed(mm / per, places),
    short: (mm) => `${trimmed(mm / per, places)} ${unit}`,
    feed: (mm) => `${trimmed(mm / per, inch ? 1 : 0)} ${unit}/min`,
    volume: (mm3) =>
      inch ? `${(mm3 / INCH ** 3).toFixed(3)} in³` : `${(mm3 / 1000).toFixed(2)} cm³`,
  };
}

function signed(value, places) {
  const text = value.toFixed(places);
  return Number(text) === 0 ? (0).toFixed(places) : text.replace("-", "−");
}

function trimmed(value, places) {
  return String(Number(value.toFixed(places)));
}

export function clock(seconds) {
  const whole = Math.round(seconds);
  const two = (n) => String(n).padStart(2, "0");
  const minutes = `${Math.floor(whole / 60) % 60}`;
  const hours = Math.floor(whole / 3600);
  return hours ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}

export function spokenTime(seconds) {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)} minutes ${whole % 60} seconds`;
}
