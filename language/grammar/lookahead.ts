import { LLStarLookaheadStrategy } from "chevrotain-allstar";

/**
 * Langium's way to tell which alternative of the grammar is meant, worked out at the first word that asks for it: a
 * text comes to a part of the grammar's choices alone, and to work out all of them takes as long as to read a protocol.
 */
export class LookaheadOnDemand extends LLStarLookaheadStrategy {
  constructor() {
    super({ logging: () => {} });
  }

  override buildLookaheadForAlternation(
    ...given: Parameters<LLStarLookaheadStrategy["buildLookaheadForAlternation"]>
  ) {
    return builtOnDemand(() => super.buildLookaheadForAlternation(...given));
  }

  override buildLookaheadForOptional(
    ...given: Parameters<LLStarLookaheadStrategy["buildLookaheadForOptional"]>
  ) {
    return builtOnDemand(() => super.buildLookaheadForOptional(...given));
  }
}

function builtOnDemand<Parser, Given extends unknown[], Answer>(
  build: () => (this: Parser, ...given: Given) => Answer,
): (this: Parser, ...given: Given) => Answer {
  let built: ReturnType<typeof build> | undefined;
  return function (...given) {
    built ??= build();
    return built.apply(this, given);
  };
}
