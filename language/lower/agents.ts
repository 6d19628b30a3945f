import { AGE, CONCENTRATION, VOLUME } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import { nodesOfType } from "../grammar/nodes.ts";
import type { Agent, AgentKind, Maximum, WrittenQuantity } from "../model/index.ts";
import { canonicalName } from "../model/spelling.ts";
import { LIMIT_DIMENSIONS } from "./amounts.ts";
import type { Lowering } from "./context.ts";
import { checkName, nameOf, onlyOnce } from "./names.ts";
import { quantityOf, rangeOf } from "./quantities.ts";
import { syringeOf } from "./syringes.ts";

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
  return lowering.once(lowering.context.agents, node, (own) => lower(own, node));
}

function lower(lowering: Lowering, node: ast.Agent): Agent {
  checkName(lowering, node);
  onlyOnce(lowering, node.properties, REPEATABLE);
  const { properties } = node;
  const [kind] = nodesOfType(properties, "AgentKind");
  const [atc] = nodesOfType(properties, "AgentCode");
  const [diluent] = nodesOfType(properties, "AgentDiluent");
  const [plain] = nodesOfType(properties, "AgentPlain");
  const [preservativeFree] = nodesOfType(properties, "AgentPreservativeFree");
  const [contraindicated] = nodesOfType(properties, "AgentContraindicated");
  const syringe = syringeOf(lowering, nodesOfType(properties, "Syringe")[0]);
  const supply = supplyOf(lowering, nodesOfType(properties, "AgentSupply")[0]);
  const kindValue =
    kind?.kind &&
    lowering.checkWord(
      lowering.originOfProperty(kind, "kind"),
      canonicalName(kind.kind),
      KINDS,
      "a kind of agent",
    );
  return {
    name: nameOf(node),
    ...(node.title !== undefined && { title: node.title }),
    origin: lowering.originOfHeading(node),
    nameOrigin: lowering.originOfProperty(node, "name"),
    ...(kind && kindValue && { kind: { value: kindValue, origin: lowering.originOf(kind) } }),
    ...(atc?.code !== undefined && { atc: { value: atc.code, origin: lowering.originOf(atc) } }),
    concentrations: concentrationsOf(lowering, nodesOfType(properties, "AgentConcentration")[0]),
    ...(supply && { supply }),
    ...(diluent?.diluent !== undefined && {
      diluent: { value: diluent.diluent, origin: lowering.originOf(diluent) },
    }),
    ...(syringe && { syringe }),
    ...(plain && { plain: lowering.originOf(plain) }),
    ...(preservativeFree && { preservativeFree: lowering.originOf(preservativeFree) }),
    maxima: maximaOf(lowering, node),
    ...(contraindicated && {
      contraindicated: { value: contraindicated.text ?? "", origin: lowering.originOf(contraindicated) },
    }),
    cautions: nodesOfType(properties, "AgentCaution").map((caution) => ({
      text: caution.text ?? "",
      ...(caution.group !== undefined && { group: caution.group }),
      origin: lowering.originOf(caution),
    })),
    sources: nodesOfType(properties, "AgentSource").map((source) => ({
      value: source.text ?? "",
      origin: lowering.originOf(source),
    })),
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
    ? { concentration, volume, origin: lowering.originOf(node) }
    : undefined;
}

function maximaOf(lowering: Lowering, node: ast.Agent): Maximum[] {
  return nodesOfType(node.properties, "AgentMaximum").flatMap((property) => {
    const limit = quantityOf(lowering, property.limit, LIMIT_DIMENSIONS, "`maximum`");
    const ages = property.ages && rangeOf(lowering, property.ages, AGE, "`for age`");
    if (!limit || (property.ages && !ages)) return [];
    return [{ limit, ...(ages && { ages: ages.interval }), origin: lowering.originOf(property) }];
  });
}
