import {
  type Dimension,
  exactText,
  isInYears,
  MASS,
  MASS_RATE,
  PRESSURE,
  ratio,
  rational,
  requireUnit,
  VOLUME,
  VOLUME_RATE,
} from "@limbwright/shared/quantity";
import { type AmountNode, KNOWN_CONDITIONS, massAndVolume, type WrittenQuantity } from "../model/index.ts";
import { bandFaults } from "../population/index.ts";
import { byLowerEdge } from "../population/interval-order.ts";
import { amountModel, measuredFrom, rateModel } from "./amounts.ts";
import { type Pair, type Pairs, restoreFields, restorePart, writeFields, writePart } from "./codec.ts";
import type { ModelOf, Models } from "./generated/models.ts";
import { exactSeconds, Senseless } from "./values.ts";

const adjuvant: Pair<"Adjuvant"> = {
  write: (writing, { agent, amount, origin }) =>
    writeFields(writing, "Adjuvant", {
      origin,
      ...(agent && { agent }),
      ...(amount && { amount: amountModel(writing, amount, onlyOne(agent?.concentrations)) }),
    }),
  restore(restoring, file, path) {
    const { amount, ...fields } = restoreFields(restoring, "Adjuvant", file, path);
    const concentration = onlyOne(fields.agent?.concentrations);
    const of = amount && measuredFrom(amount.formula, concentration, `${path}/amount/formula`, AMOUNTS);
    return { ...fields, ...(of && { amount: of }), ...massAndVolume(of, concentration) };
  },
};

function onlyOne(concentrations: readonly WrittenQuantity[] | undefined): WrittenQuantity | undefined {
  return concentrations?.length === 1 ? concentrations[0] : undefined;
}

const AMOUNTS: readonly Dimension[] = [MASS, VOLUME];
const RATES: readonly Dimension[] = [MASS_RATE, VOLUME_RATE];

const dose: Pair<"Dose"> = {
  write(writing, { amount, sameAmount, rate, total, ...fields }) {
    const { concentration } = fields;
    return writeFields(writing, "Dose", {
      ...fields,
      ...(amount && { amount: amountModel(writing, amount, concentration, sameAmount) }),
      ...(rate && { rate: rateModel(writing, rate) }),
      ...(total && { total: amountModel(writing, total, concentration) }),
    });
  },
  restore(restoring, file, path) {
    const found = restoreFields(restoring, "Dose", file, path);
    const { amount, rate, total, concentration: named, ...fields } = found;
    const only = onlyOne(fields.agent?.concentrations);
    // The agent's own where it is the same, so that it has the place where it was written.
    const concentration = only && named?.value.equals(only.value) ? only : named;
    const measured = (key: string, node: AmountNode | undefined, expected: readonly Dimension[]) =>
      node && measuredFrom(node, concentration, `${path}/${key}`, expected);
    const given = measured("amount/formula", amount?.formula, AMOUNTS);
    const same = measured("amount/sameFormula", amount?.sameFormula, AMOUNTS);
    const speed = measured("rate/formula", rate?.formula, RATES);
    const most = measured("total/formula", total?.formula, AMOUNTS);
    return {
      ...fields,
      ...(concentration && { concentration }),
      ...(given && { amount: given }),
      ...(same && { sameAmount: same }),
      ...massAndVolume(given, concentration),
      ...(speed && { rate: speed }),
      ...(most && { total: most }),
    };
  },
};

const cuffs: Pair<"Cuffs"> = {
  write: (writing, { pressure, occlusion, ...fields }) =>
    writeFields(writing, "Cuffs", {
      ...fields,
      ...(pressure && { pressure: pressure.node }),
      ...(occlusion && { occlusion: occlusion.node }),
    }),
  restore(restoring, file, path) {
    const measured = (key: string, node: AmountNode | undefined) =>
      node && measuredFrom(node, undefined, `${path}/${key}`, [PRESSURE]);
    const table = file.occlusion && restorePart(restoring, "Formula", file.occlusion, `${path}/occlusion`);
    const occlusion = measured("occlusion", table);
    const knowing = { ...restoring, ...(occlusion && { occlusion }) };
    const { pressure, occlusion: _, ...fields } = restoreFields(knowing, "Cuffs", file, path);
    const target = measured("pressure", pressure);
    return { ...fields, ...(target && { pressure: target }), ...(occlusion && { occlusion }) };
  },
};

const condition: Pair<"Condition"> = {
  restore(restoring, file, path) {
    const { condition: name, ...fields } = restoreFields(restoring, "Condition", file, path);
    const known = KNOWN_CONDITIONS.find((one) => one === name);
    if (name !== undefined && !known) throw new Senseless(`no condition is called ${name}`);
    return { ...fields, ...(known && { condition: known }) };
  },
};

const patients: Pair<"Patients"> = {
  restore: (restoring, file, path) => ({
    ...restoreFields(restoring, "Patients", file, path),
    incomplete: false,
    boundsIncomplete: false,
  }),
};

/** The model has a maximum's ages without a place, and without a unit: months are no decimal number of years. */
const maximum: Pair<"Maximum"> = {
  write: (writing, { ages, ...fields }) =>
    writeFields(writing, "Maximum", {
      ...fields,
      ...(ages && {
        ages: { interval: ages, unit: isInYears(ages) ? "years" : "months", origin: fields.origin },
      }),
    }),
  restore(restoring, file, path) {
    const { ages, ...fields } = restoreFields(restoring, "Maximum", file, path);
    return { ...fields, ...(ages && { ages: ages.interval }) };
  },
};

const cuffReference: Pair<"CuffReference"> = {
  write(writing, name) {
    const label = writing.cuffs.find((cuff) => cuff.name === name)?.label;
    return { name, ...(label !== undefined && { label }) };
  },
  restore: (_, { name }) => name,
};

const cuffChoice: Pair<"CuffChoice"> = {
  write(writing, choice) {
    const names = choice.kind === "all" ? writing.cuffs.map(({ name }) => name) : [choice.name];
    return {
      all: choice.kind === "all",
      on: names.map((name) => writePart(writing, "CuffReference", name)),
    };
  },
  restore: (_, { all, on }) => (all ? { kind: "all" } : { kind: "cuff", name: on[0]?.name ?? "" }),
};

const duration: Pair<"Duration"> = {
  write: (_, { shortest, longest }) => ({
    shortest: exactSeconds(shortest),
    ...(longest && { longest: exactSeconds(longest) }),
  }),
  restore: ({ places }, { shortest, longest }, path) => ({
    shortest: rational(shortest.value),
    ...(longest && { longest: rational(longest.value) }),
    origin: places.at(path),
  }),
};

const occlusion: Pair<"FormulaOcclusion"> = {
  write: (_, { kind }) => ({ kind }),
  restore({ places, occlusion: table }, { kind }, path) {
    if (!table) throw new Senseless(`${path} needs a table of occlusion pressures`);
    return { kind, of: table.node, origin: places.at(path) };
  },
};

const share: Pair<"FormulaShare"> = {
  write: (writing, { factor, ...fields }) =>
    writeFields(writing, "FormulaShare", {
      ...fields,
      factor: exactText(factor === "half" ? ratio(1, 2) : factor.value.div(100)),
    }),
  restore(restoring, file, path) {
    const { factor: text, ...fields } = restoreFields(restoring, "FormulaShare", file, path);
    const factor = rational(text);
    const percent = { value: factor.mul(100), unit: requireUnit("%"), origin: fields.origin };
    return { ...fields, factor: factor.mul(2).equals(1) ? "half" : percent };
  },
};

const roundedDown: Pair<"FormulaRoundedDown"> = {
  restore(restoring, file, path) {
    const model = restoreFields(restoring, "FormulaRoundedDown", file, path);
    if (model.step.value.compare(0) > 0) return model;
    throw new Senseless(`${path} is rounded to a step that is not over zero`);
  },
};

/** Rows from the lowest up, unless some overlap: then the first counts, and their order is part of the meaning. */
function bands<P extends Bands>(part: P): Pair<P> {
  return {
    write(writing, model: ModelOf<P>) {
      const { rows } = model as Models[Bands];
      const ranges = rows.map(({ range }) => range.interval);
      const overlap = bandFaults(ranges, {}).overlaps.length > 0;
      const sorted = [...rows].sort((a, b) => byLowerEdge(a.range.interval, b.range.interval));
      return writeFields(writing, part, { ...model, rows: overlap ? rows : sorted } as Models[P]);
    },
  };
}

type Bands =
  | "FormulaBandsByWeight"
  | "FormulaBandsByAge"
  | "FormulaBandsBySystolic"
  | "FormulaBandsByCircumference";

/** The rows of a table are made when a file is written, and are read by programs alone. */
const amountRow: Pair<"AmountRow"> = { write: (_, row) => row, restore: (_, row) => row };
const rateRow: Pair<"RateRow"> = { write: (_, row) => row, restore: (_, row) => row };

export const PAIRS: Pairs = {
  Adjuvant: adjuvant,
  AmountRow: amountRow,
  Condition: condition,
  CuffChoice: cuffChoice,
  CuffReference: cuffReference,
  Cuffs: cuffs,
  Dose: dose,
  Duration: duration,
  FormulaBandsByAge: bands("FormulaBandsByAge"),
  FormulaBandsByCircumference: bands("FormulaBandsByCircumference"),
  FormulaBandsBySystolic: bands("FormulaBandsBySystolic"),
  FormulaBandsByWeight: bands("FormulaBandsByWeight"),
  FormulaOcclusion: occlusion,
  FormulaRoundedDown: roundedDown,
  FormulaShare: share,
  Maximum: maximum,
  Patients: patients,
  RateRow: rateRow,
};
