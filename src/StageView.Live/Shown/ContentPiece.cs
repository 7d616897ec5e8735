using StageView.Rig.Pieces;
using StageView.Show.Content;
using StageView.Stage.Content;

namespace StageView.Live.Shown;

/// <summary>One content of a rig, with what reads it.</summary>
/// <param name="Placement">Where and when.</param>
/// <param name="Key">What its frames depend on: a rig that is read again goes on with the reader of the same key.</param>
/// <param name="File">Reads its file; null for a live input.</param>
/// <param name="Input">What comes in live; null for a file, and where inputs are not opened.</param>
/// <param name="Placed">Lies over the pixels; null where nothing is read.</param>
internal sealed record ContentPiece(ContentPlacement Placement, string Key, WishedFrames? File, LiveInput? Input, PlacedContent? Placed)
{
    /// <summary>Whether no picture of a live input came yet, and nothing says why not.</summary>
    public bool IsAwaited => Input?.State is { Frames: 0, Why.Length: 0 };

    /// <summary>Why it shows nothing though its time has come, in one line; null where it does.</summary>
    public string? Trouble => File is not null ? File.Trouble
        : Input?.State is { IsLost: true } lost && !IsAwaited
            ? $"no picture comes from {Placement.Input!.Address}{(lost.Why.Length > 0 ? ": " + lost.Why : "")}" : null;
}
