namespace StageView.Rig;

/// <summary>Attaches measured intensities to a beam.</summary>
internal static class PhotometryReader
{
    /// <summary>Index in the webs, or -1 with a problem noted.</summary>
    public static int ReadWeb(this RigLoadOptions options, SourceNode named, string profileFile, RigAssets assets, ProblemList problems)
    {
        _ = options;
        if (!SafePath.TryInside(Path.GetDirectoryName(Path.GetFullPath(profileFile))!, named.Text, out var full) || !File.Exists(full))
        {
            problems.Error(named, $"no photometric file {named.Text} beside the profile");
            return -1;
        }

        problems.Warn(named, $"{named.Text}: photometric files can't be read yet; the beam and field angle are used");
        _ = assets;
        return -1;
    }
}
