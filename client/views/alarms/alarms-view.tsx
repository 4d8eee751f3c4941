export function AlarmsView() {
  return <h1>Alarms</h1>;
}
