"""E6 and E9 codes: files that can't be read or written, and faults of the tool itself."""

from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    "E601": CodeInfo(
        "a file is missing",
        "A file that was named, on the command line or in a spec, is not there. On the command "
        "line a path is taken from the folder that you are in; in a spec it is taken from the "
        "folder of the file that names it. Upper and lower case count.",
    ),
    "E602": CodeInfo(
        "a folder without a job file",
        "A folder was named, and no file in it or below it is a job. A job file ends in .yaml or "
        ".yml and begins with `spec: job/1`; shop files and families are not built by themselves.",
    ),
    "E603": CodeInfo(
        "a file can't be read",
        "The file is there, but the system would not let it be read: it is a folder or a device, "
        "its permissions forbid it, or the disk failed. Nothing is built from a spec that could "
        "not be read whole.",
    ),
    "E604": CodeInfo(
        "an output would overwrite something else",
        "Outputs only ever replace earlier outputs of the same job. A file of that name is there "
        "that this job did not write, or that was edited since: a program that was changed by "
        "hand at the machine, say. Move it away, or build into another folder. With "
        "--replace-edited it is written over, and what was changed in it is lost.",
    ),
    "E605": CodeInfo(
        "an output can't be written",
        "The system refused to write the output: the folder is read-only, the disk is full, or a "
        "file stands where a folder must be. An output is replaced whole or not at all, so the "
        "last good one is as it was; check the revision and digest on the sheet against the "
        "program before cutting from it.",
    ),
    "E606": CodeInfo(
        "no such code",
        "`explain` was asked for a code that no finding carries. A code is a letter, E for an "
        "error or W for a warning, and three digits; it stands in front of the message. "
        "`explain` without a code lists them all.",
    ),
    "E607": CodeInfo(
        "a path leaves the project",
        "A spec may name files only below the project's root: the git work tree, or the folder of "
        "the job where there is none. Paths that climb out with `..`, absolute ones, and links "
        "that lead outside are refused, because a spec comes from elsewhere and is not trusted, "
        "and because a job that reads files of one computer can't be built on another. Copy the "
        "file into the project and name it there.",
    ),
    "E608": CodeInfo(
        "two jobs would write the same files",
        "Outputs are named after the job. Two jobs of one name that are built into one folder "
        "would write over each other, so the second was not built. Give one of them another "
        "`name`, or build them into folders of their own.",
    ),
    "E609": CodeInfo(
        "a cluster can't be had",
        "The work was to be handed to a Dask scheduler, which does not answer at the address "
        "given, or the packages to speak to one are not installed here. Its workers must have "
        "the same version of this compiler installed. Without --cluster the jobs are built on "
        "this machine.",
    ),
    "E610": CodeInfo(
        "a revision can't be read",
        "`diff` takes REVISION:PATH from git: anything that git takes as a revision, and a path "
        "from the root of the work tree, or from the current folder where it begins with `./`. "
        "Family, shop file and drawings are taken from the same revision.",
    ),
    "E901": CodeInfo(
        "a fault of the tool",
        "The tool failed in a way that no spec should be able to cause. The fault is ours, not "
        "yours, and nothing was written. Please report it with the spec and with what the same "
        "command prints with --debug. Often a small change to the place that was worked on gets "
        "past it; do not cut from an older program in the belief that it was just built.",
    ),
    "E902": CodeInfo(
        "the system would not let the work go on",
        "Memory, disk, open files or processes ran out, a stream could not be written to, or the "
        "system ended a process of ours. The spec is not to blame and nothing is half-written: an "
        "output is replaced whole or not at all. Make room or lift the limit and give the same "
        "command again; what was built stays built. Of many jobs --jobs 1 builds one at a time, "
        "which needs the least memory.",
    ),
    "E660": CodeInfo(
        "options that do not go together",
        "`--raise`, `--slow` and `--stops` say how the program of `--prove-out` is made, and mean "
        "nothing without it. A path is either raised or slowed: raised it cuts air, slowed it "
        "cuts the part.",
    ),
}
