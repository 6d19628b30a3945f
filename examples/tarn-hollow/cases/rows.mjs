// How rows of case records are written.

export const TIME_FORMATS = ["instant", "clock", "elapsed", "seconds"];

const DAY = 86_400;
const two = (value) => String(value).padStart(2, "0");

/** A time of the case with this number, in a format; empty where a row has none. */
export function timeText(seconds, format, number) {
  if (seconds === undefined) return "";
  const began = 8 * 3600 + ((number * 997) % 57_600);
  switch (format) {
    case "instant":
      return new Date(Date.UTC(2026, 2, 1 + (number % 28), 0, 0, began + seconds))
        .toISOString()
        .replace(".000Z", "Z");
    case "clock": {
      const ofDay = (began + seconds) % DAY;
      return `${two(Math.floor(ofDay / 3600))}:${two(Math.floor(ofDay / 60) % 60)}:${two(ofDay % 60)}`;
    }
    case "elapsed":
      return `${Math.floor(seconds / 60)}:${two(seconds % 60)}`;
    default:
      return String(seconds);
  }
}

export function csvRow({ case: id, time, event, value }) {
  return `${[id, time, event, value].map(csvField).join(",")}\n`;
}

export function jsonRow({ case: id, time, event, value }) {
  return `${JSON.stringify({ case: id, ...(time !== "" && { time }), event, ...(value !== "" && { value }) })}\n`;
}

function csvField(text) {
  return /[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
