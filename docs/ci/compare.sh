#!/usr/bin/env bash
# One machine of a CI matrix, or its last step. Set RIG, CAPTURE, BASE (folder of the baselines) and, unless stageview is on the path, STAGEVIEW.
#   JOB=2 JOBS=5 docs/ci/compare.sh          draws and compares the second of five parts; frames/ and reports/2/ are what it leaves
#   JOBS=5 docs/ci/compare.sh merge          when reports/1/ to reports/5/ and frames/ are back together: report/, and the answer
# Exit code of a part: 0 when it could be answered, whatever the answer; of merge: 0 same, 1 different, 2 no answer.
set -eu
STAGEVIEW=${STAGEVIEW:-stageview}
JOBS=${JOBS:-1} BASE=${BASE:-baselines}
if [ "${1:-}" = merge ]; then
  for job in $(seq "$JOBS"); do
    # A part that is missing is a failure, not a pass.
    [ -e "reports/$job/report.json" ] || { echo "compare: part $job of $JOBS left no report" >&2; exit 2; }
  done
  exec $STAGEVIEW compare --merge $(seq -f 'reports/%g' "$JOBS") --report report
fi
: "${JOB:?compare: set JOB, 1 to JOBS}" "${RIG:?compare: set RIG}" "${CAPTURE:?compare: set CAPTURE}"
$STAGEVIEW snap "$RIG" --capture "$CAPTURE" --cues --against "$BASE" --shard "$JOB/$JOBS" --out frames
answer=0
$STAGEVIEW compare "$BASE" frames --part --report "reports/$JOB" || answer=$?
[ "$answer" -le 1 ] || exit "$answer"
