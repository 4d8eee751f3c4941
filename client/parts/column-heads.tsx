/** The names of a table's columns, left to right. */
export function ColumnHeads({ names }: { readonly names: readonly string[] }) {
  return (
    <thead>
      <tr>
        {names.map((name) => (
          <th key={name} scope="col">
            {name}
          </th>
        ))}
      </tr>
    </thead>
  );
}
