export function TrendsView() {
  return <h1>Trends</h1>;
}
