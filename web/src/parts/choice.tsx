// One of a few: buttons side by side, because the browser's own lists open white.
interface ChoiceProps<T extends string | number> {
  label: string;
  value: T;
  options: readonly { value: T; words: string }[];
  choose: (value: T) => void;
  slide?: boolean;
}

export function Choice<T extends string | number>({ label, value, options, choose, slide = false }: ChoiceProps<T>) {
  return (
    <div class={slide ? "slide" : "choices"} role="group" aria-label={label}>
      {options.map((option) => (
        <button key={option.value} aria-pressed={option.value === value} onClick={() => choose(option.value)}>
          {option.words}
        </button>
      ))}
    </div>
  );
}
