interface RangeChoiceProps<Range extends string> {
  readonly label: string;
  readonly names: readonly Range[];
  readonly texts: Readonly<Record<Range, string>>;
  readonly range: Range;
  readonly onChoose: (range: Range) => void;
}

/** Over which time. */
export function RangeChoice<Range extends string>(props: RangeChoiceProps<Range>) {
  const { label, names, texts, range, onChoose } = props;
  return (
    <label>
      {label}{' '}
      <select
        className="input"
        value={range}
        onChange={(event) => onChoose(names.find((one) => one === event.target.value) ?? range)}
      >
        {names.map((name) => (
          <option key={name} value={name}>
            {texts[name]}
          </option>
        ))}
      </select>
    </label>
  );
}
