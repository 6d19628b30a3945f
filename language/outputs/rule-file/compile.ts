import type { Finding } from "@limbwright/shared/finding";

/** A compiled protocol: the text of its rule file, or why there is none. */
export type Compiled =
  | {
      readonly kind: "written";
      /** The protocol's name. */
      readonly protocol: string;
      readonly use: "draft" | "protocol";
      /** The whole text to write; it has no line end. */
      readonly text: string;
      /** "sha256:…", printed wherever the protocol is. */
      readonly meaning: string;
      readonly proof: string;
    }
  | {
      readonly kind: "refused";
      readonly protocol: string;
      /** One sentence that says why. */
      readonly because: string;
      /** The findings that stand in the way. */
      readonly findings: readonly Finding[];
    };
