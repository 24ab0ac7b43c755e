/** Full diagonal: out of reach, or not allowed. Broken, the other way: nothing heard. */
export function Hatches() {
  return (
    <svg class="defs" width="0" height="0" aria-hidden="true">
      <defs>
        <pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <line class="hatch" x1="0" y1="0" x2="0" y2="7" />
        </pattern>
        <pattern
          id="broken"
          width="10"
          height="10"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(-45)"
        >
          <line class="hatch" x1="0" y1="0" x2="0" y2="10" stroke-dasharray="2 4" />
        </pattern>
      </defs>
    </svg>
  );
}
