interface SearchFieldProps {
  readonly label: string;
  readonly value: string;
  readonly onSearch: (value: string) => void;
}

export function SearchField({ label, value, onSearch }: SearchFieldProps) {
  return (
    <input
      type="search"
      className="input"
      value={value}
      aria-label={label}
      placeholder={label}
      onChange={(event) => onSearch(event.target.value)}
    />
  );
}
