#!/bin/bash
# Renders a show as a Slurm array, one shard a task, and joins it:
#   sbatch --array=1-16 docs/video/slurm.sh
# The join waits for all of them:
#   sbatch --dependency=afterok:JOBID docs/video/slurm.sh join
# RIG, CAPTURE, FROM, TO, CAMERA, SIZE, FPS and OUT may be set in the environment; OUT must lie on storage that all nodes see.
#SBATCH --job-name=show-video
#SBATCH --cpus-per-task=8
#SBATCH --time=04:00:00
#SBATCH --requeue
set -eu
: "${RIG:=scenes/foundry/foundry.rig.jsonc}" "${CAPTURE:=scenes/foundry/foundry.pcapng}"
: "${FROM:=0}" "${TO:=30}" "${FPS:=30}" "${SIZE:=1280x720}" "${OUT:=show.mp4}" "${STAGEVIEW:=stageview}"
if [ "${1:-}" = join ]; then
  exec $STAGEVIEW join "$OUT"
fi
# One software rasteriser thread a core that the task was given.
export LP_NUM_THREADS="${SLURM_CPUS_PER_TASK:-0}"
[ "$LP_NUM_THREADS" != 0 ] || unset LP_NUM_THREADS
exec $STAGEVIEW render "$RIG" --capture "$CAPTURE" --from "$FROM" --to "$TO" --fps "$FPS" --size "$SIZE" ${CAMERA:+--camera "$CAMERA"} \
  --out "$OUT" --shard "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT"
