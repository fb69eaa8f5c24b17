#!/bin/sh
# A run in {parts} parts, for Slurm.
#
#   sh THIS            submits an array of {parts} jobs, and one behind it that merges them
#   sh THIS part I     makes part I here, without Slurm
#   sh THIS merge      merges the parts here
#
# What is there already and is whole stays, so that it can be submitted again after anything. More for sbatch,
# such as an account, goes into SBATCH_OPTIONS.
set -eu

program={program}
out={out}
parts={parts}
threads={threads}
memory_mb={memory_mb}

plan() {
    cat <<'{end_of_plan}'
{plan}{end_of_plan}
}

folder_of_part() { echo "$out.parts/$1-of-$parts"; }

make_part() {
    mkdir -p "$out.parts"
    plan_file=$(mktemp)
    trap 'rm -f "$plan_file"' EXIT
    plan > "$plan_file"
    "$program" overlay --plan "$plan_file" --part "$1/$parts" --out "$(folder_of_part "$1")" --overwrite \
        --threads "$threads" --memory "$memory_mb" || try_again $?
}

# A part that failed of its disk or its node is queued again, up to three times; a mistake in the plan (2) is not.
try_again() {
    if [ "$1" != 2 ] && [ -n "${SLURM_JOB_ID:-}" ] && [ "${SLURM_RESTART_COUNT:-0}" -lt 3 ]; then
        scontrol requeue "$SLURM_JOB_ID"
        sleep 60 # Slurm ends this
    fi
    exit "$1"
}

merge_parts() {
    i=1
    set --
    while [ "$i" -le "$parts" ]; do
        set -- "$@" "$(folder_of_part "$i")"
        i=$((i + 1))
    done
    "$program" merge "$@" --out "$out" --overwrite --threads "$threads" --memory "$memory_mb"
}

submit() {
    options="--parsable --requeue --cpus-per-task=$threads --mem=$((memory_mb + 200))M ${SBATCH_OPTIONS:-}"
    # shellcheck disable=SC2086
    array=$(sbatch $options --job-name=parts --array="1-$parts" "$0" part)
    array=${array%%;*}
    # shellcheck disable=SC2086
    merge=$(sbatch $options --job-name=merge --dependency="afterok:$array" --kill-on-invalid-dep=yes "$0" merge)
    echo "parts: job $array; merge: job ${merge%%;*}; then: $out"
}

case "${1:-submit}" in
    submit) submit ;;
    part) make_part "${2:-$SLURM_ARRAY_TASK_ID}" ;;
    merge) merge_parts ;;
    *)
        echo "sh $0 [part I | merge]" >&2
        exit 2
        ;;
esac
