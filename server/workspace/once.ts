/** Gives what is worked out when it is first asked for, and then always the same. */
export function once<Value>(work: () => Value): () => Value {
  let known: { readonly value: Value } | undefined;
  return () => {
    known ??= { value: work() };
    return known.value;
  };
}
