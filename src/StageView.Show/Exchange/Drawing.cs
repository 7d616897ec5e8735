using System.Text;
using System.Text.Json;
using StageView.Ground.Files;
using StageView.Paperwork.Changes;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;
using StageView.Show.Rigs;

namespace StageView.Show.Exchange;

/// <summary>A commit that was brought in beside the rig and looked at, and is not part of it yet.</summary>
/// <param name="Folder">Where it lies.</param>
/// <param name="Changes">What it would change.</param>
/// <param name="Refused">Why the rig can't be read with it, a line each; empty where it can.</param>
/// <param name="Notes">What of the file is not taken over.</param>
public sealed record DrawingLook(string Folder, IReadOnlyList<RigChange> Changes, IReadOnlyList<string> Refused, IReadOnlyList<string> Notes)
{
    /// <summary>Whether another commit was taken since: what it would change is to be looked at anew.</summary>
    public bool IsOld { get; init; }
}

/// <summary>
/// The part of a rig that comes from elsewhere: a small rig file that the rig includes, which itself includes the folder of the commit that was taken last.
/// What the rig file adds on its own is never touched. Taking is one file written in one step.
/// </summary>
public sealed class Drawing
{
    /// <summary>Where it lies, from the rig file, unless told.</summary>
    public const string Usual = "drawing/drawing.rig.jsonc";

    private const string Commits = "commit-";

    /// <summary>Commits that stay on the disk, the one in use among them.</summary>
    private const int Kept = 10;

    private readonly string _rig;
    private readonly string? _venue;

    /// <param name="rigFile">The rig.</param>
    /// <param name="venue">A venue laid over it, or null.</param>
    /// <param name="file">The drawing, where it isn't the usual one.</param>
    public Drawing(string rigFile, string? venue = null, string? file = null)
    {
        _rig = rigFile;
        _venue = venue;
        FullPath = Path.GetFullPath(file ?? Path.Combine(Path.GetDirectoryName(Path.GetFullPath(rigFile))!, Usual));
    }

    public string FullPath { get; }

    /// <summary>Makes an empty one where the rig names one that isn't there yet, so that the rig can be read.</summary>
    /// <exception cref="StopException">The folder can't be written to.</exception>
    public void Begin()
    {
        if (File.Exists(FullPath) || !Names(_rig))
        {
            return;
        }

        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(FullPath)!);
            WholeFile.WriteText(FullPath, "// What was taken last from a group. `exchange` and `live` write this file.\n{}\n");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw StopException.Machine($"{FullPath} can't be written: {e.Message}");
        }
    }

    /// <summary>Whether a rig was read with the drawing in it.</summary>
    public bool IsIn(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        return rig.Files.Any(f => f.Kind == SourceFileKind.Include && f.FullPath == FullPath);
    }

    /// <summary>What to write into the rig file, so that the drawing is part of it.</summary>
    public string HowToInclude =>
        $"{_rig} doesn't include {Relative()}: write \"include\": [\"{Relative()}\"] into it, so that what is taken becomes part of the rig";

    /// <summary>Brings a commit's file in beside the drawing, and compares the rig with it to the rig without.</summary>
    /// <param name="mvr">The file.</param>
    /// <param name="id">The commit.</param>
    /// <exception cref="StopException">It is no file that can be read, or there is no room for it.</exception>
    public DrawingLook Look(string mvr, Guid id)
    {
        var folder = FolderOf(id);
        if (Directory.Exists(folder) && !InUse(folder))
        {
            Directory.Delete(folder, recursive: true);
        }

        IReadOnlyList<string> notes = [];
        if (!Directory.Exists(folder))
        {
            if (!MvrImporter.TryImport(mvr, folder, "drawing", out var report, out var problem))
            {
                Drop(folder);
                throw new StopException(StopKind.No, $"the commit's file can't be used: {problem!.Text}");
            }

            notes = report.Notes;
        }

        return Look(new DrawingLook(folder, [], [], notes));
    }

    /// <summary>Compares the rig with a commit that was brought in before to the rig as it is now.</summary>
    /// <exception cref="StopException">The rig can't be read, or doesn't include the drawing.</exception>
    public DrawingLook Look(DrawingLook brought)
    {
        ArgumentNullException.ThrowIfNull(brought);
        var before = Load(null, out var why) ?? throw new StopException(StopKind.No, $"the rig can't be read as it stands: {(why.Count > 0 ? why[0] : "")}");
        if (!IsIn(before))
        {
            Drop(brought.Folder);
            throw StopException.Wrong(HowToInclude);
        }

        var after = Load(Path.Combine(brought.Folder, "drawing.rig.jsonc"), out why);
        return brought with { IsOld = false, Changes = after is null ? [] : RigChanges.Between(before, after), Refused = why };
    }

    /// <summary>Makes a commit that was looked at part of the rig.</summary>
    /// <exception cref="StopException">It can't be.</exception>
    public void Take(DrawingLook look)
    {
        ArgumentNullException.ThrowIfNull(look);
        if (look.Refused.Count > 0)
        {
            throw new StopException(StopKind.No, "the rig can't be read with this commit: " + look.Refused[0]);
        }

        try
        {
            Directory.SetLastWriteTimeUtc(look.Folder, TimeProvider.System.GetUtcNow().UtcDateTime);
            WholeFile.WriteText(FullPath, "// What was taken last from a group. `exchange` and `live` write this file.\n{ \"include\": ["
                + JsonSerializer.Serialize(Path.GetFileName(look.Folder) + "/drawing.rig.jsonc") + "] }\n");
            Tidy();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw StopException.Machine($"{FullPath} can't be written: {e.Message}");
        }
    }

    /// <summary>Takes a commit away that was looked at and not taken.</summary>
    public void Drop(DrawingLook look)
    {
        ArgumentNullException.ThrowIfNull(look);
        Drop(look.Folder);
    }

    /// <summary>A path beside the drawing for a file that is being fetched.</summary>
    public string PlaceFor(Guid id)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(FullPath)!);
        return FolderOf(id) + ".part.mvr";
    }

    private string FolderOf(Guid id) => Path.Combine(Path.GetDirectoryName(FullPath)!, Commits + id.ToString("N"));

    private void Drop(string folder)
    {
        try
        {
            if (!InUse(folder) && Directory.Exists(folder))
            {
                Directory.Delete(folder, recursive: true);
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // What can't be taken away now is taken away with the next ones.
        }
    }

    private bool InUse(string folder) =>
        BoundedFile.TryRead(FullPath, 1 << 16, out var bytes, out _)
        && Encoding.UTF8.GetString(bytes).Contains(Path.GetFileName(folder), StringComparison.Ordinal);

    /// <summary>Of the commits that were taken, the newest stay.</summary>
    private void Tidy()
    {
        foreach (var old in Directory.EnumerateDirectories(Path.GetDirectoryName(FullPath)!, Commits + "*")
            .Where(d => Guid.TryParseExact(Path.GetFileName(d)[Commits.Length..], "N", out _) && File.Exists(Path.Combine(d, "drawing.rig.jsonc")))
            .OrderByDescending(Directory.GetLastWriteTimeUtc).Skip(Kept).ToList())
        {
            Drop(old);
        }
    }

    private RigScene? Load(string? instead, out IReadOnlyList<string> why)
    {
        var options = RigFiles.Options with { Venue = _venue, Instead = instead is null ? null : (FullPath, instead) };
        var ok = RigLoader.TryLoad(_rig, options, out var rig, out var problems);
        why = ok ? [] : [.. problems.Where(p => p.Severity == ProblemSeverity.Error).Select(p => p.ToString()).Take(20)];
        return ok ? rig : null;
    }

    private string Relative() => Path.GetRelativePath(Path.GetDirectoryName(Path.GetFullPath(_rig))!, FullPath).Replace('\\', '/');

    /// <summary>Whether the rig file's own list of includes names the drawing.</summary>
    private bool Names(string rig)
    {
        if (!BoundedFile.TryRead(rig, 64 << 20, out var bytes, out _))
        {
            return false;
        }

        try
        {
            using var json = JsonDocument.Parse(bytes, new JsonDocumentOptions { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip });
            var folder = Path.GetDirectoryName(Path.GetFullPath(rig))!;
            return json.RootElement.ValueKind == JsonValueKind.Object && json.RootElement.TryGetProperty("include", out var list)
                && list.ValueKind == JsonValueKind.Array && list.EnumerateArray()
                    .Any(i => i.ValueKind == JsonValueKind.String && Path.GetFullPath(Path.Combine(folder, i.GetString()!)) == FullPath);
        }
        catch (JsonException)
        {
            return false;
        }
    }
}
