/** A time as a clock shows it: "5:00", "1:05:30"; parts of a second only where there are some. */
export function clockText(seconds: number): string {
  const whole = Math.floor(seconds);
  const rest = seconds - whole;
  const two = (value: number) => String(value).padStart(2, "0");
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor((whole % 3600) / 60);
  const tail = `${two(whole % 60)}${rest > 0 ? rest.toFixed(3).slice(1) : ""}`;
  return hours > 0 ? `${hours}:${two(minutes)}:${tail}` : `${minutes}:${tail}`;
}
