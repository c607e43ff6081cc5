#!/bin/sh
# A study in eight shards as a Slurm job array:
#
#   sbatch slurm.sh job.yaml OUT
#
# Every task lays its share of the nests into the folder OUT, which all nodes
# must see. To lay a lost shard again alone, say the third of eight:
#
#   sbatch --array=2 slurm.sh job.yaml OUT
#
# and in the end:
#
#   plyroom study job.yaml -o OUT --merge
#
#SBATCH --job-name=plyroom-study
#SBATCH --array=0-7
#SBATCH --ntasks=1
#SBATCH --cpus-per-task=2
#SBATCH --mem=2G
#SBATCH --time=08:00:00
#SBATCH --signal=B:TERM@60
set -eu

job=${1:?name the job file}
out=${2:?name the folder of the study}
shards=8 # as many as the array has tasks

exec "${PLYROOM:-plyroom}" study "$job" -o "$out" \
  --relax --seeds "${SEEDS:-5}" --effort "${EFFORT:-5}" \
  --workers "${SLURM_CPUS_PER_TASK:-2}" --shard "auto/$shards"
