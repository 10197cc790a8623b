#!/usr/bin/env bash
#SBATCH --job-name=oven-campaign
#SBATCH --array=1-16
#SBATCH --cpus-per-task=2
#SBATCH --requeue
# One shard a task of a Slurm job array (Debian: slurm-wlm), on a folder that all nodes share:
#
#   job=$(sbatch --parsable docs/campaign-slurm.sh MACHINE.yaml PARTS_FOLDER)
#   sbatch --dependency=afterok:$job --wrap \
#     "build/release/ovenproof campaign merge OUT.db PARTS_FOLDER/*.db"
#
# A task that is killed and queued again goes on where it was.
set -euo pipefail

(($# >= 2)) || { sed -n '6,13s/^# \{0,1\}//p' "$0" >&2; exit 2; }
mkdir -p "$2"
exec "${OVENPROOF:-build/release/ovenproof}" campaign "$1" \
  --shard "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT" \
  --out "$2/$SLURM_ARRAY_TASK_ID.db" --resume --jobs "${SLURM_CPUS_PER_TASK:-1}"
