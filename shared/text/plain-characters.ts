/**
 * A text with every character made visible that would act on a terminal instead of being shown: control
 * characters and those that turn the direction of writing. A protocol from elsewhere may hold any.
 */
export function plainCharacters(text: string): string {
  return text.replace(ACTING, "\ufffd");
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to be replaced.
const ACTING = /[\u0000-\u0008\u000a-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/g;
