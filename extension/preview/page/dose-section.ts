import type { PreviewModel } from "@limbwright/shared/editor";
import type { TypedPatient } from "../messages.ts";
import { make } from "./dom.ts";
import type { Place } from "./marks.ts";
import { PatientLine } from "./patient.ts";
import { pictureShown } from "./pictures.ts";
import { Section } from "./section.ts";

/** The dose over weight with its limit, and the line of one patient. */
export class DoseSection {
  readonly section = new Section("dose", "Dose");
  readonly #open: (place: Place) => void;
  readonly #curves = make("div", { class: "curves" });
  readonly #patient: PatientLine;
  #drawn = "";

  constructor(open: (place: Place) => void, typed: (patient: TypedPatient) => void) {
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
