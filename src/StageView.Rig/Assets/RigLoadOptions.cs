namespace StageView.Rig.Assets;

/// <summary>Turns an image file's bytes into square linear transmissions, row by row from the top, 3 bytes a pixel.</summary>
/// <param name="file">The whole file: PNG, JPEG.</param>
/// <param name="size">Pixels a side of what comes back, at most 1024.</param>
/// <param name="rgb">3 × size × size bytes.</param>
/// <param name="why">Why not, where it fails.</param>
public delegate bool ImageDecoder(ReadOnlyMemory<byte> file, out int size, out byte[] rgb, out string why);

/// <summary>What the caller adds to a scene file.</summary>
public sealed record RigLoadOptions
{
    public static RigLoadOptions Default { get; } = new();

    /// <summary>Folders searched for fixture profiles after those that the scene file names.</summary>
    public IReadOnlyList<string> ProfileFolders { get; init; } = [];

    /// <summary>A venue file laid over the rig, or null.</summary>
    public string? Venue { get; init; }

    /// <summary>An included file, and another that is read in its place, both in full; null to read what is there.</summary>
    public (string File, string By)? Instead { get; init; }

    /// <summary>Reads gobo images; without it image gobos stay open, with a warning.</summary>
    public ImageDecoder? DecodeImage { get; init; }
}
