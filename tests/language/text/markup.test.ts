import { element, markupText } from "@limbwright/shared/text";
import { describe, expect, test } from "vitest";

describe("an element", () => {
  test("holds texts as text, and other elements as elements", () => {
    const inner = element("b", {}, "5 < 6");
    expect(markupText(element("p", { class: "x" }, "a & b", [" ", inner]))).toBe(
      '<p class="x">a &amp; b <b>5 &lt; 6</b></p>',
    );
  });

  test("escapes what stands in an attribute, and leaves out one without a value", () => {
    expect(markupText(element("p", { title: `"'<>&`, class: undefined, tabindex: 0 }))).toBe(
      '<p title="&quot;&#39;&lt;&gt;&amp;" tabindex="0"></p>',
    );
  });

  test("that HTML knows without an end has none", () => {
    expect(markupText(element("meta", { charset: "utf-8" }))).toBe('<meta charset="utf-8">');
  });

  test("shows characters that would act instead of being read", () => {
    expect(markupText(element("p", {}, "a\u202eb\u0000c"))).toBe("<p>a\ufffdb\ufffdc</p>");
  });

  test("takes no object of a file for markup", () => {
    const forged = JSON.parse('{"markup":"<script>"}');
    expect(() => markupText(element("p", {}, forged))).toThrow();
  });
});
