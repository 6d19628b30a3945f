import { type AstNode, CstUtils, GrammarUtils } from "langium";
import { type Band, type Condition, type Confirm, isAsk, type Repeat, type Task } from "../generated/ast.ts";
import { isStatement, nodesIn } from "../nodes.ts";

/** How the first line of a statement is set in columns with its neighbours of the same family. */
export interface Columns {
  /** Neighbouring lines are aligned with each other only inside one family. */
  readonly family: string;
  /** The spaces between the widest cell and the next column. */
  readonly gap: number;
  /** How many tokens of the statement stand before each column but the first. */
  readonly starts: readonly number[];
}

/** What the layout needs to know about a statement. */
export interface StatementShape {
  /** Whether it is the heading of a block of its own: it then stays on one line. */
  readonly isHeading: boolean;
  /** Undefined where its values stand in no column. */
  readonly columns?: Columns;
}

/** The statements of a text by the offset at which they start. */
export type Statements = ReadonlyMap<number, StatementShape>;

export function statementsOf(root: AstNode): Statements {
  const statements = new Map<number, StatementShape>();
  for (const node of nodesIn(root)) {
    if (isStatement(node) && node.$cstNode) statements.set(node.$cstNode.offset, shapeOf(node));
    if (isAsk(node)) {
      for (const answer of answersOf(node)) statements.set(answer, { isHeading: true });
    }
  }
  return statements;
}

/** `yes { … }` and `no { … }` stand on lines of their own. */
function answersOf(ask: AstNode): number[] {
  return ["yes", "no"].flatMap((word) =>
    GrammarUtils.findNodesForKeyword(ask.$cstNode, word).map((keyword) => keyword.offset),
  );
}

const AGENT: Omit<Columns, "starts"> = { family: "agent", gap: 1 };
const IDENTITY: Omit<Columns, "starts"> = { family: "identity", gap: 1 };
const CUFF: Omit<Columns, "starts"> = { family: "cuff", gap: 1 };
const DOSE: Omit<Columns, "starts"> = { family: "dose", gap: 1 };
const PREPARE: Omit<Columns, "starts"> = { family: "prepare", gap: 2 };

/** The statements that are a name and a value, with the number of words of the name. */
const NAME_AND_VALUE: Readonly<Record<string, Columns>> = {
  AgentKind: { ...AGENT, starts: [1] },
  AgentCode: { ...AGENT, starts: [1] },
  AgentConcentration: { ...AGENT, starts: [1] },
  AgentSupply: { ...AGENT, starts: [2] },
  AgentDiluent: { ...AGENT, starts: [2] },
  AgentPlain: { ...AGENT, starts: [] },
  AgentPreservativeFree: { ...AGENT, starts: [] },
  AgentMaximum: { ...AGENT, starts: [1] },
  AgentContraindicated: { ...AGENT, starts: [1] },
  AgentCaution: { ...AGENT, starts: [1] },
  AgentSource: { ...AGENT, starts: [1] },
  Version: { ...IDENTITY, starts: [1] },
  Hospital: { ...IDENTITY, starts: [1] },
  Owner: { ...IDENTITY, starts: [1] },
  Status: { ...IDENTITY, starts: [1] },
  Review: { ...IDENTITY, starts: [2] },
  PatientBound: { family: "patients", gap: 1, starts: [1] },
  CuffPressure: { ...CUFF, starts: [1] },
  CuffCeiling: { ...CUFF, starts: [1] },
  CuffFit: { ...CUFF, starts: [1] },
  DoseAmount: { ...DOSE, starts: [1] },
  DoseDuration: { ...DOSE, starts: [1] },
  DoseRepeat: { ...DOSE, starts: [1] },
  DoseRate: { ...DOSE, starts: [1] },
  DoseTotal: { ...DOSE, starts: [1] },
  DoseAdjuvant: { ...DOSE, starts: [1] },
  TimerBound: { family: "timer", gap: 1, starts: [2] },
  IvAccess: { ...PREPARE, starts: [1] },
  Monitoring: { ...PREPARE, starts: [1] },
  AtHand: { ...PREPARE, starts: [1] },
  Staff: { ...PREPARE, starts: [1] },
  SiteMarked: { ...PREPARE, starts: [] },
  OtherItem: { ...PREPARE, starts: [] },
};

function shapeOf(node: AstNode): StatementShape {
  const columns = columnsOf(node);
  return { isHeading: opensBlock(node), ...(columns && { columns }) };
}

/** Whether a block of its own belongs to a statement; that of an amount's table belongs to the amount. */
function opensBlock(node: AstNode): boolean {
  const { block, otherwise } = node as Partial<Pick<Repeat, "block"> & Pick<Confirm, "otherwise">>;
  return Boolean(block ?? otherwise ?? GrammarUtils.findNodeForKeyword(node.$cstNode, "{"));
}

function columnsOf(node: AstNode): Columns | undefined {
  switch (node.$type) {
    case "Condition":
      return { family: "conditions", gap: 1, starts: startsOfCondition(node as Condition) };
    case "Task":
      return { family: "tasks", gap: 1, starts: (node as Task).topic === undefined ? [] : [2] };
    case "Band":
      return { family: "bands", gap: 3, starts: [tokensIn((node as Band).range)] };
    case "Syringe":
      return { ...(node.$container?.$type === "Agent" ? AGENT : DOSE), starts: [1] };
    default:
      return NAME_AND_VALUE[node.$type];
  }
}

/** The known condition has a column, and so has the text beside it; a text alone stands in the first. */
function startsOfCondition({ condition, text }: Condition): number[] {
  return condition !== undefined && text !== undefined ? [1, 2] : [1];
}

function tokensIn(node: AstNode | undefined): number {
  if (!node?.$cstNode) return 0;
  return CstUtils.flattenCst(node.$cstNode)
    .filter((leaf) => !leaf.hidden)
    .count();
}
