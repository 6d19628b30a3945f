// Node 20 has no `Object.groupBy`, which the parser's library asks for while it checks a grammar.

Object.groupBy ??= (items, keyOf) => {
  const groups = Object.create(null);
  for (const item of items) {
    const key = keyOf(item);
    groups[key] = [...(groups[key] ?? []), item];
  }
  return groups;
};
