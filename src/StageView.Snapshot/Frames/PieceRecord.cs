namespace StageView.Snapshot.Frames;

/// <summary>A piece of scenery or a mirror that a frame shows.</summary>
/// <param name="Name">Its name; several of one name are told together.</param>
/// <param name="Covers">Where it is seen in the picture.</param>
public sealed record PieceRecord(string Name, IReadOnlyList<ScreenCover> Covers);
