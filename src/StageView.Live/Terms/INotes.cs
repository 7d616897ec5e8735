using StageView.Show.Notes;

namespace StageView.Live.Terms;

/// <summary>Notes and cameras that are kept beside the rig file, for all devices.</summary>
internal interface INotes
{
    /// <summary>The file that keeps them.</summary>
    string File { get; }

    NotesState State { get; }

    /// <summary>Drops a note; its answer's data tell its name, <c>id</c>.</summary>
    /// <param name="shown">What is shown at that moment.</param>
    /// <param name="camera">What it is seen from.</param>
    /// <param name="picture">What is seen, as JPEG; null where there is no picture yet.</param>
    Reply Drop(ShowState shown, KeptCamera camera, byte[]? picture);

    Reply Write(string id, string text);

    Reply Tick(string id, bool done);

    Reply Remove(string id);

    /// <summary>Keeps a camera by its name; one of that name before is replaced.</summary>
    Reply KeepCamera(KeptCamera camera);

    Reply ForgetCamera(string name);
}

/// <param name="File">Name of the file that keeps them.</param>
/// <param name="Trouble">Why they can't be read, or null.</param>
internal sealed record NotesState(string File, string? Trouble, IReadOnlyList<KeptCamera> Cameras, IReadOnlyList<ShowNote> Notes);
