#include "cli/run/part_script.hpp"

#include <cstddef>

namespace swingroom::cli {
namespace {

/// A text as one word of the shell.
std::string quoted(const std::string& text) {
    std::string word = "'";
    for (const char c : text) {
        word += c == '\'' ? "'\\''" : std::string(1, c);
    }
    return word + "'";
}

/// A line that no line of the text is.
std::string end_mark(const std::string& text) {
    std::string mark = "END_OF_PLAN";
    while (text.find(mark) != std::string::npos) {
        mark += "_";
    }
    return mark;
}

} // namespace

std::string part_script(const PartScript& of) {
    // What the machine's scheduler is asked for beside what the program aims at.
    constexpr int spare_mb = 200;
    const std::string mark = end_mark(of.plan), parts = std::to_string(of.parts),
                      threads = std::to_string(of.threads), memory = std::to_string(of.memory_mb);
    return R"(#!/bin/sh
# A run in )" +
           parts + R"( parts, for Slurm.
#
#   sh THIS            submits an array of )" +
           parts + R"( jobs, and one behind it that merges them
#   sh THIS part I     makes part I here, without Slurm
#   sh THIS merge      merges the parts here
#
# What is there already and is whole stays, so that it can be submitted again after anything.
# More for sbatch, such as an account, goes into SBATCH_OPTIONS.
set -eu

program=)" +
           quoted(of.program) + R"(
out=)" + quoted(of.out) +
           R"(
parts=)" + parts +
           R"(
threads=)" +
           threads + R"(
memory_mb=)" +
           memory + R"(

plan() {
    cat <<')" +
           mark + R"('
)" + of.plan +
           mark +
           R"(
}

folder_of_part() { echo "$out.parts/$1-of-$parts"; }

make_part() {
    mkdir -p "$out.parts"
    plan_file=$(mktemp)
    trap 'rm -f "$plan_file"' EXIT
    plan > "$plan_file"
    "$program" overlay --plan "$plan_file" --part "$1/$parts" --out "$(folder_of_part "$1")" --overwrite-- threads
           "$threads" --memory "$memory_mb"
}

merge_parts() {
    i = 1 set-- while["$i" - le "$parts"];
    do
        set-- "$@"
              "$(folder_of_part " $i ")" i = $((i + 1)) done "$program" merge "$@" --out
            "$out" --overwrite-- threads "$threads" --memory "$memory_mb"
}

submit() {
    asked = "--cpus-per-task=$threads --mem=$((memory_mb + )" + std::to_string(spare_mb) +
            R"())M ${SBATCH_OPTIONS:-}"
    # shellcheck disable=SC2086
    array=$(sbatch --parsable --job-name=parts --requeue --array="1-$parts" $asked "$0" part)
    array=${array%%;*}
    # shellcheck disable=SC2086
    merge=$(sbatch --parsable --job-name=merge --requeue --dependency="afterok:$array" --kill-on-invalid-dep=yes \
        $asked "$0" merge)
    echo "parts: job $array; merge: job ${merge%%;*}; then: $out"
}

case "${1:-submit}" in
    submit) submit ;;
    part) make_part "${2:-$SLURM_ARRAY_TASK_ID}" ;;
    merge) merge_parts ;;
    *) echo "sh $0 [part I | merge]" >&2; exit 2 ;;
esac
)";
}

} // namespace swingroom::cli
