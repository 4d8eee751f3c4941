interface SignButtonProps {
  /** What it does, for whoever hears or hovers it. */
  readonly name: string;
  readonly sign: string;
  readonly onPress: () => void;
  readonly isOff?: boolean;
  readonly isSmall?: boolean;
}

/** A button with a sign instead of a word, where the sign is plain and there is little room. */
export function SignButton({ name, sign, onPress, isOff = false, isSmall = false }: SignButtonProps) {
  return (
    <button
      type="button"
      className={isSmall ? 'button button-small' : 'button'}
      aria-label={name}
      title={name}
      disabled={isOff}
      onClick={onPress}
    >
      {sign}
    </button>
  );
}
