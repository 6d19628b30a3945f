import {
  exactText,
  inBase,
  MASS,
  MASS_RATE,
  type Rational,
  sameDimension,
} from "@limbwright/shared/quantity";
import type {
  AmountRow,
  Adjuvant as FileAdjuvant,
  Amount as FileAmount,
  Dose as FileDose,
  Rate,
} from "@limbwright/shared/rule-file";
import type { Adjuvant, Amount, Dose, WrittenQuantity } from "../model/index.ts";
import type { Box } from "../population/index.ts";
import { formulaOf } from "./formula.ts";
import { HOUR, lookupRows } from "./lookup-rows.ts";
import type { Marks } from "./marks.ts";
import { compareTexts, fileDuration, fileQuantity } from "./values.ts";

/** A dose with its formulas, and with tables for the patients of the box. */
export function dosePart(marks: Marks, dose: Dose, box: Box): FileDose {
  const { concentration, amount, over, repeat, rate, total } = dose;
  const part: FileDose = {
    name: dose.name,
    agent: dose.agent?.name ?? "",
    ...(dose.emergency !== undefined && { emergency: dose.emergency }),
    ...(concentration && { concentration: fileQuantity(concentration) }),
    ...(amount && { amount: amountPart(marks, amount, dose.sameAmount, concentration, box) }),
    ...(over && { over: marks.at(fileDuration(over), over.origin) }),
    ...(repeat && {
      repeat: marks.at(
        {
          times: repeat.times,
          interval: fileQuantity(repeat.interval),
          ...(repeat.condition && { condition: repeat.condition.value }),
        },
        repeat.origin,
        { condition: repeat.condition?.origin },
      ),
    }),
    ...(rate && { rate: ratePart(marks, rate, box) }),
    ...(total && { total: amountPart(marks, total, undefined, concentration, box) }),
    adjuvants: dose.adjuvants
      .map((adjuvant) => adjuvantPart(marks, adjuvant, box))
      .sort((a, b) => compareTexts(a.agent, b.agent)),
  };
  return marks.at(part, dose.origin, { name: dose.nameOrigin, agent: dose.agentOrigin });
}

function adjuvantPart(marks: Marks, { agent, amount, origin }: Adjuvant, box: Box): FileAdjuvant {
  const [only, another] = agent?.concentrations ?? [];
  const concentration = another ? undefined : only;
  return marks.at(
    {
      agent: agent?.name ?? "",
      ...(amount && { amount: amountPart(marks, amount, undefined, concentration, box) }),
    },
    origin,
  );
}

function amountPart(
  marks: Marks,
  amount: Amount,
  same: Amount | undefined,
  concentration: WrittenQuantity | undefined,
  box: Box,
): FileAmount {
  const isMass = sameDimension(amount.dimension, MASS);
  const rows = lookupRows(amount.expression, box)?.map(({ ranges, value, exact }): AmountRow => {
    const [mass, volume] = massAndVolumeOf(value, isMass, concentration);
    return {
      ...ranges,
      ...(mass && { mass: { value: exactText(mass), unit: "mg" as const } }),
      ...(volume && { volume: { value: exactText(volume), unit: "mL" as const } }),
      exact,
    };
  });
  const part: FileAmount = {
    formula: formulaOf(marks, amount.node),
    ...(same && { sameFormula: formulaOf(marks, same.node) }),
    ...(rows && { rows }),
  };
  return marks.at(part, amount.origin);
}

function massAndVolumeOf(
  value: Rational,
  isMass: boolean,
  concentration: WrittenQuantity | undefined,
): readonly [Rational | undefined, Rational | undefined] {
  const perMillilitre = concentration && inBase(concentration);
  if (!perMillilitre || perMillilitre.compare(0) <= 0)
    return isMass ? [value, undefined] : [undefined, value];
  return isMass ? [value, value.div(perMillilitre)] : [value.mul(perMillilitre), value];
}

function ratePart(marks: Marks, rate: Amount, box: Box): Rate {
  const unit = sameDimension(rate.dimension, MASS_RATE) ? "mg/h" : "mL/h";
  const rows = lookupRows(rate.expression, box)?.map(({ ranges, value, exact }) => ({
    ...ranges,
    rate: { value: exactText(value.mul(HOUR)), unit: unit as "mg/h" | "mL/h" },
    exact,
  }));
  return marks.at({ formula: formulaOf(marks, rate.node), ...(rows && { rows }) }, rate.origin);
}
