using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>
/// Reads model files of formats that StageView has no reader of its own for. Only for files that the user names, never for what comes out of archives.
/// </summary>
internal interface IForeignModels
{
    /// <summary>Why it can't be used on this machine, or empty.</summary>
    string Missing { get; }

    /// <param name="extension">Without the dot.</param>
    bool Knows(string extension);

    /// <param name="path">The file.</param>
    /// <param name="name">What to call it.</param>
    /// <param name="why">Why not, in one line.</param>
    SceneMesh? TryRead(string path, string name, out string why);
}
