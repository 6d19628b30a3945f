/** The sentence that every output for people carries. */
export const CAUTION =
  "Limbwright helps to draft and to audit a document. It is not a medical device and judges no patient: " +
  "local policy and licensed practice decide.";
