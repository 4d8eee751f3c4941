export function FieldView() {
  return <h1>Field</h1>;
}
