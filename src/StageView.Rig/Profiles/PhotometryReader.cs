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

        bool ok;
        PhotometricFile? file;
        PhotometryRefusal why;
        switch (Path.GetExtension(full).ToUpperInvariant())
        {
            case ".IES":
                ok = IesReader.TryParse(bytes, named.Text, out file, out why);
                break;
            case ".LDT":
                ok = EulumdatReader.TryParse(bytes, named.Text, out file, out why);
                break;
            default:
                problems.Error(named, $"{named.Text}: photometric files end in .ies (LM-63) or .ldt (EULUMDAT)");
                return -1;
        }

        if (!ok || file is null)
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
