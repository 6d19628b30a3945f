import { AGE, CONCENTRATION, VOLUME } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import type { Agent, AgentKind, Maximum, WrittenQuantity } from "../model/index.ts";
import { canonicalName } from "../model/spelling.ts";
import { LIMIT_DIMENSIONS } from "./amounts.ts";
import {
  checkWord,
  type Lowering,
  lowerOnce,
  originOf,
  originOfHeading,
  originOfProperty,
} from "./context.ts";
import { checkName, nameOf, onlyOnce } from "./names.ts";
import { quantityOf } from "./quantities.ts";
import { rangeOf } from "./ranges.ts";

const KINDS: readonly AgentKind[] = ["local-anaesthetic", "adjuvant", "rescue"];

/**
 * Lowers an agent, once; the same value is given for every protocol that uses it. What is wrong in it is kept
 * beside the value, for its own file to report.
 */
export function agentOf(lowering: Lowering, node: ast.Agent): Agent {
  return readAgent(lowering, node).value;
}

/** An agent with what is wrong in it. */
export function readAgent(lowering: Lowering, node: ast.Agent) {
  return lowerOnce(lowering, lowering.agents, node, (own) => lower(own, node));
}

function lower(lowering: Lowering, node: ast.Agent): Agent {
  checkName(lowering, node);
  onlyOnce(lowering, node.properties, REPEATABLE);
  const one = <T extends ast.AgentProperty["$type"]>(type: T) =>
    node.properties.find(
      (property): property is Extract<ast.AgentProperty, { $type: T }> => property.$type === type,
    );
  const kind = one("AgentKind");
  const atc = one("AgentCode");
  const diluent = one("AgentDiluent");
  const plain = one("AgentPlain");
  const preservativeFree = one("AgentPreservativeFree");
  const contraindicated = one("AgentContraindicated");
  const supply = supplyOf(lowering, one("AgentSupply"));
  const kindValue =
    kind?.kind &&
    checkWord(
      lowering,
      originOfProperty(lowering, kind, "kind"),
      canonicalName(kind.kind),
      KINDS,
      "a kind of agent",
    );
  return {
    name: nameOf(node),
    ...(node.title !== undefined && { title: node.title }),
    origin: originOfHeading(lowering, node),
    nameOrigin: originOfProperty(lowering, node, "name"),
    ...(kind && kindValue && { kind: { value: kindValue, origin: originOf(lowering, kind) } }),
    ...(atc?.code !== undefined && { atc: { value: atc.code, origin: originOf(lowering, atc) } }),
    concentrations: concentrationsOf(lowering, one("AgentConcentration")),
    ...(supply && { supply }),
    ...(diluent?.diluent !== undefined && {
      diluent: { value: diluent.diluent, origin: originOf(lowering, diluent) },
    }),
    ...(plain && { plain: originOf(lowering, plain) }),
    ...(preservativeFree && { preservativeFree: originOf(lowering, preservativeFree) }),
    maxima: maximaOf(lowering, node),
    ...(contraindicated && {
      contraindicated: { value: contraindicated.text ?? "", origin: originOf(lowering, contraindicated) },
    }),
    cautions: node.properties.flatMap((property) =>
      property.$type === "AgentCaution"
        ? [
            {
              text: property.text ?? "",
              ...(property.group !== undefined && { group: property.group }),
              origin: originOf(lowering, property),
            },
          ]
        : [],
    ),
    sources: node.properties.flatMap((property) =>
      property.$type === "AgentSource"
        ? [{ value: property.text ?? "", origin: originOf(lowering, property) }]
        : [],
    ),
  };
}

/** Properties an agent may have several of. */
const REPEATABLE = new Set(["AgentMaximum", "AgentCaution", "AgentSource", "Unknown"]);

function concentrationsOf(lowering: Lowering, node: ast.AgentConcentration | undefined): WrittenQuantity[] {
  const read = (node?.values ?? []).map((value) =>
    quantityOf(lowering, value, [CONCENTRATION], "`concentration`"),
  );
  return read.filter((value) => value !== undefined);
}

function supplyOf(lowering: Lowering, node: ast.AgentSupply | undefined): Agent["supply"] {
  const concentration = quantityOf(lowering, node?.concentration, [CONCENTRATION], "`supplied as`");
  const volume = quantityOf(lowering, node?.volume, [VOLUME], "`supplied as … in`");
  return node && concentration && volume
    ? { concentration, volume, origin: originOf(lowering, node) }
    : undefined;
}

function maximaOf(lowering: Lowering, node: ast.Agent): Maximum[] {
  return node.properties.flatMap((property) => {
    if (property.$type !== "AgentMaximum") return [];
    const limit = quantityOf(lowering, property.limit, LIMIT_DIMENSIONS, "`maximum`");
    const ages = property.ages && rangeOf(lowering, property.ages, AGE, "`for age`");
    if (!limit || (property.ages && !ages)) return [];
    return [{ limit, ...(ages && { ages: ages.interval }), origin: originOf(lowering, property) }];
  });
}
