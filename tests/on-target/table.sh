#!/usr/bin/env bash
# Prints what was counted on both boards beside the budgets; ends with 3 where one is
# passed.
#   table.sh COUNTS_OF_M4F COUNTS_OF_M0
set -euo pipefail

# Name in the table, name in the counts, field (mean, worst, or the only number), budget M4F, budget M0.
rows() {
  cat <<'ROWS'
pulse event, mean|pulse event|mean|100|300
pulse event, worst|pulse event|worst|300|900
worst pulse event that a search finds|worst pulse event of a search|only|300|900
pulse event that begins a train, mean|pulse event that begins a train|mean||
pulse onto the pins of 4 motors, mean|pulse onto the pins|mean||
pulse onto the pins of 4 motors, worst|pulse onto the pins|worst||
stack of a pulse event, bytes|stack of a pulse event|only||
move through the look-ahead, mean|move through the look-ahead|mean|3000|20000
move through the look-ahead, worst|move through the look-ahead|worst||
floor of a move: length, way, corner|floor of a move|mean||
floor of a pulse: a root, a division|floor of a pulse|mean||
worst move that a search finds|worst move of a search|only||
ramp out of the planner, mean|ramp out of the planner|mean||
ramp out of the planner, worst|ramp out of the planner|worst||
pulse train out of a ramp, mean|pulse train out of ramps|mean||
pulse train out of a ramp, worst|pulse train out of ramps|worst||
RAM: planner with 32 moves, bytes|size of planner with 32 moves|only|4096|4096
RAM: pulse generator, bytes|size of pulse generator|only|512|512
RAM: train maker, bytes|size of train maker|only||
RAM: one pulse train, bytes|size of pulse train|only||
flash: planner, pulses, control, bytes|flash|only|38912|41984
of that, arcs|flash of arcs|only||
of that, live control|flash of control|only||
ROWS
}

# value FILE NAME FIELD
value() {
  awk -F': ' -v name="$2" -v field="$3" '$1 == name {
    if (field == "only") { print $2; exit }
    count = split($2, words, " ")
    for (i = 1; i < count; i++) if (words[i] == field) { print words[i + 1]; exit }
  }' "$1"
}

# cell VALUE BUDGET
cell() {
  if [ -z "$2" ]; then printf '%8s %15s' "$1" ''
  elif [ "$1" -le "$2" ]; then printf '%8s of %6s     ' "$1" "$2"
  else printf '%8s of %6s OVER' "$1" "$2"
  fi
}

printf '%-38s %23s   %23s\n' 'executed instructions' 'Cortex-M4F' 'Cortex-M0'
while IFS='|' read -r title name field budget4 budget0; do
  m4=$(value "$1" "$name" "$field")
  m0=$(value "$2" "$name" "$field")
  printf '%-38s %s   %s\n' "$title" "$(cell "$m4" "$budget4")" "$(cell "$m0" "$budget0")"
done < <(rows) | tee "$1.table"
if grep -q OVER "$1.table"; then exit 3; fi
