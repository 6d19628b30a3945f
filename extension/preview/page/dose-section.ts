import type { PreviewModel } from "@limbwright/shared/editor";
import type { LinePlace } from "@limbwright/shared/finding";
import type { TypedPatient } from "../messages.ts";
import { make, Section } from "./dom.ts";
import { placeButton } from "./findings.ts";
import { pictureShown } from "./pictures.ts";

/** The dose over weight with its limit, and the line of one patient. */
export class DoseSection {
  readonly section = new Section("dose", "Dose");
  readonly #open: (place: LinePlace) => void;
  readonly #curves = make("div", { class: "curves" });
  readonly #patient: PatientLine;
  #drawn = "";

  constructor(open: (place: LinePlace) => void, typed: (patient: TypedPatient) => void) {
    this.#open = open;
    this.#patient = new PatientLine(typed);
    this.section.body.append(this.#curves, this.#patient.element);
  }

  show(model: PreviewModel): void {
    const { shown, because } = model.curves;
    this.section.say(because);
    this.#patient.show(model);
    this.section.isOld = shown === undefined && this.#drawn !== "";
    const drawn = JSON.stringify(shown);
    if (shown === undefined || drawn === this.#drawn) return;
    this.#drawn = drawn;
    this.#curves.replaceChildren(...shown.map((curve) => pictureShown(curve, this.#open)));
  }

  forget(): void {
    this.#drawn = "";
    this.section.isOld = false;
    this.#curves.replaceChildren();
  }
}

type Measure = PreviewModel["patient"]["measures"][number];
type Row = PreviewModel["patient"]["rows"][number];

const LABELS: Readonly<Record<Measure["name"], string>> = {
  weight: "Weight",
  age: "Age",
  systolic: "Systolic",
  circumference: "Limb circumference",
};

/** A line of fields as on a form, and what the protocol gives a patient like that. */
class PatientLine {
  readonly element = make("div", { class: "patient" });
  readonly #fields = make("div", { class: "fields" });
  readonly #figures = make("div", { class: "figures", "aria-live": "polite" });
  readonly #inputs = new Map<Measure["name"], HTMLInputElement>();
  readonly #typed: (patient: TypedPatient) => void;
  #drawn = "";

  constructor(typed: (patient: TypedPatient) => void) {
    this.#typed = typed;
    const legend = make(
      "legend",
      {},
      "Figures for a made-up patient ",
      make("strong", { class: "stamp" }, "not for use on a patient"),
    );
    this.element.append(make("fieldset", {}, legend, this.#fields), this.#figures);
  }

  show({ patient: { measures, amiss, rows }, file }: PreviewModel): void {
    this.#fields.replaceChildren(...this.#fieldsFor(measures));
    const isTyped = [...this.#inputs.values()].some(({ value }) => value.trim() !== "");
    const drawn = JSON.stringify([amiss, rows, file, isTyped]);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    if (!isTyped) {
      const hint = "Type a weight, an age and a systolic pressure to see what this protocol gives.";
      this.#figures.replaceChildren(make("p", { class: "hint" }, hint));
      return;
    }
    this.#figures.replaceChildren(
      ...(amiss === undefined ? [] : [make("p", { class: "amiss" }, amiss)]),
      ...(rows.length > 0 ? [tableOf(rows, file)] : []),
    );
  }

  /** The same fields stay, with what is typed and the focus in them. */
  #fieldsFor(measures: readonly Measure[]): readonly HTMLElement[] {
    const known = [...this.#fields.children] as HTMLElement[];
    const isSame = measures.map(({ name }) => name).join() === [...this.#inputs.keys()].join();
    const fields = isSame ? known : this.#newFields(measures);
    for (const [at, { name, unit, covered, fault }] of measures.entries()) {
      const input = this.#inputs.get(name);
      const hint = fields[at]?.querySelector(".covered");
      if (hint) hint.textContent = covered ?? "no limits set";
      const says = fields[at]?.querySelector(".unit");
      if (says) says.textContent = unit;
      if (fault === undefined) input?.removeAttribute("aria-invalid");
      else input?.setAttribute("aria-invalid", "true");
    }
    return fields;
  }

  #newFields(measures: readonly Measure[]): HTMLElement[] {
    const before = new Map([...this.#inputs].map(([name, { value }]) => [name, value]));
    this.#inputs.clear();
    return measures.map(({ name }) => {
      const id = `patient-${name}`;
      const input = make("input", {
        id,
        type: "text",
        inputmode: "decimal",
        autocomplete: "off",
        maxlength: "8",
        "aria-describedby": `${id}-covered`,
      });
      input.value = before.get(name) ?? "";
      input.addEventListener("input", () => this.#typed(this.#patient()));
      this.#inputs.set(name, input);
      return make(
        "div",
        { class: "field" },
        make("label", { for: id }, LABELS[name], " ", make("span", { class: "unit" })),
        input,
        make("span", { class: "covered", id: `${id}-covered` }),
      );
    });
  }

  #patient(): TypedPatient {
    return Object.fromEntries([...this.#inputs].map(([name, { value }]) => [name, value.trim()]));
  }
}

function tableOf(rows: readonly Row[], file: string): HTMLElement {
  return make(
    "table",
    {},
    make("caption", {}, "Rounded as in the dose table; not for use on a patient"),
    make(
      "thead",
      {},
      make("tr", {}, ...["What", "Figures", "Line"].map((text) => make("th", { scope: "col" }, text))),
    ),
    make("tbody", {}, ...rows.map((row) => rowOf(row, file))),
  );
}

function rowOf({ name, of, purpose, place, figures, isOver, because }: Row, file: string): HTMLElement {
  const over = isOver
    ? [make("strong", { class: "is-too-much" }, of === "" ? "over the ceiling" : "over the maximum")]
    : [];
  const told = figures.map(({ label, text }) =>
    make("span", { class: "figure" }, `${label} `, make("strong", {}, text)),
  );
  return make(
    "tr",
    { class: isOver ? "is-over" : undefined },
    make(
      "th",
      { scope: "row" },
      name,
      ...(of === "" ? [] : [make("span", { class: "of" }, `${of}, ${purpose}`)]),
    ),
    make("td", {}, ...(because === undefined ? [...over, ...told] : [because])),
    make("td", {}, placeButton(place, file)),
  );
}
