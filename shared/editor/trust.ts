/**
 * The client tells the server that its folders are trusted now. A client that does not trust them at first says `isTrusted: false` in
 * its initialization options; then the server starts no other program. It has no params.
 */
export const TRUST_GRANTED = "limbwright/trustGranted";
