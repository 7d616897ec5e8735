namespace StageView.Live.Terms;

/// <summary>The rig as the page needs it.</summary>
internal sealed record RigCard(
    int Version,
    string Name,
    string File,
    IReadOnlyList<FixtureLine> Fixtures,
    IReadOnlyList<CameraLine> Cameras,
    IReadOnlyList<string> Notes);

/// <param name="At">World position at rest, m.</param>
/// <param name="Editable">Whether its position stands in the file by itself, so that it can be moved from the page.</param>
internal sealed record FixtureLine(string Name, string Number, string Type, string Mode, string Position, string Patch, IReadOnlyList<string> Groups,
    float[] At, bool Editable);

/// <param name="Fov">Full vertical angle of view, degrees.</param>
internal sealed record CameraLine(string Name, float[] Position, float[] Target, float Fov, float Ev);
