using System.Globalization;

namespace StageView.Rig.Source;

/// <summary>Where in which file something is written.</summary>
/// <param name="File">The file as the user named it.</param>
/// <param name="Line">From 1; 0 when it concerns the whole file.</param>
/// <param name="Path">The way to it within the file.</param>
/// <param name="Span">Its bytes, where known.</param>
public sealed record SourcePlace(string File, int Line, SourcePath Path, SourceSpan? Span = null)
{
    /// <summary>A file as a whole.</summary>
    public static SourcePlace WholeOf(string file) => new(file, 0, SourcePath.Whole);

    /// <summary>File and line: <c>foundry.rig.jsonc:42</c>; the file alone where no line is known.</summary>
    public string FileAndLine => Line > 0 ? string.Create(CultureInfo.InvariantCulture, $"{File}:{Line}") : File;

    /// <summary>As messages show it: <c>foundry.rig.jsonc:42 $.hangs[3]</c>.</summary>
    public override string ToString() => Path == SourcePath.Whole ? FileAndLine : $"{FileAndLine} {Path}";
}

/// <summary>Bytes of a file, from its first byte (a byte-order mark counts).</summary>
/// <param name="Start">The first one, from 0.</param>
/// <param name="End">The one behind the last.</param>
public readonly record struct SourceSpan(int Start, int End)
{
    public int Length => End - Start;
}
