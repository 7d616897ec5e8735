using StageView.Ground.Files;
using StageView.Light.Photometry;
using StageView.Light.Photometry.Eulumdat;
using StageView.Light.Photometry.Ies;
using StageView.Rig.Assets;
using StageView.Rig.Source;

namespace StageView.Rig.Profiles;

/// <summary>Attaches measured intensities (IES LM-63, EULUMDAT) to a beam.</summary>
internal static class PhotometryReader
{
    private const int MaxBytes = 8 << 20;

    /// <summary>A photometric file anywhere on the disk, or null with the reason.</summary>
    public static PhotometricFile? Open(string path, out string why)
    {
        if (BoundedFile.TryRead(path, MaxBytes, out var bytes, out why))
        {
            return Parse(bytes, Path.GetFileName(path), out why);
        }

        return null;
    }

    private static PhotometricFile? Parse(byte[] bytes, string name, out string why)
    {
        PhotometricFile? file = null;
        PhotometryRefusal refusal;
        switch (Path.GetExtension(name).ToUpperInvariant())
        {
            case ".IES":
                why = IesReader.TryParse(bytes, name, out file, out refusal) ? "" : $"{refusal}";
                break;
            case ".LDT":
                why = EulumdatReader.TryParse(bytes, name, out file, out refusal) ? "" : $"{refusal}";
                break;
            default:
                why = "photometric files end in .ies (LM-63) or .ldt (EULUMDAT)";
                break;
        }

        return why.Length == 0 ? file : null;
    }

    /// <summary>Index in the webs, or -1 with a problem noted.</summary>
    public static int ReadWeb(SourceNode named, string profileFile, RigAssets assets, ProblemList problems)
    {
        if (!SafePath.TryInside(Path.GetDirectoryName(Path.GetFullPath(profileFile))!, named.Text, out var full)
            || !assets.Files.Has(full, SourceFileKind.Photometry))
        {
            problems.Error(named, $"no photometric file {named.Text} beside this file");
            return -1;
        }

        if (!BoundedFile.TryRead(full, MaxBytes, out var bytes, out var unread))
        {
            problems.Error(named, $"{named.Text}: {unread}");
            return -1;
        }

        if (Parse(bytes, named.Text, out var why) is not { } file)
        {
            problems.Error(named, $"{named.Text}: {why}");
            return -1;
        }

        foreach (var note in file.Notes)
        {
            problems.Warn(named, $"{named.Text}: {note}");
        }

        assets.Webs.Add(file.Web);
        return assets.Webs.Count - 1;
    }
}
