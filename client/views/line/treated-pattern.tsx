const STEP_PX = 9;

/** The hatching of treated seed, for a drawing to fill with under this id. */
export function TreatedPattern({ id }: { readonly id: string }) {
  return (
    <pattern
      id={id}
      width={STEP_PX}
      height={STEP_PX}
      patternUnits="userSpaceOnUse"
      patternTransform="rotate(45)"
    >
      <line className="ribbon-hatch" x1="0" y1="0" x2="0" y2={STEP_PX} />
    </pattern>
  );
}
