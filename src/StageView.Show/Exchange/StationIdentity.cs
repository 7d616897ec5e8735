using System.Security.Cryptography;
using System.Text;
using StageView.Ground.Files;
using StageView.Ground.Systems;

namespace StageView.Show.Exchange;

/// <summary>The identity of a station: the same each time that the same rig joins from this machine, and no other's.</summary>
public static class StationIdentity
{
    /// <param name="rigFile">The rig.</param>
    /// <param name="role">What joins: two programs may show one rig at once.</param>
    /// <param name="lasting">Whether it will be the same the next time; not where the folder for it can't be written to.</param>
    public static Guid Of(string rigFile, string role, out bool lasting)
    {
        var seed = Seed(out lasting);
        var hash = SHA256.HashData(Encoding.UTF8.GetBytes($"{seed:N} {role} {Path.GetFullPath(rigFile)}"))[..16];

        // RFC 4122: variant, and version 4, since nothing of the name is to be read out of it.
        hash[6] = (byte)((hash[6] & 0x0F) | 0x40);
        hash[8] = (byte)((hash[8] & 0x3F) | 0x80);
        return new Guid(hash, bigEndian: true);
    }

    private static Guid Seed(out bool lasting)
    {
        lasting = true;
        var file = OwnFolders.Kept("station");
        if (file is not null && BoundedFile.TryRead(file, 1000, out var bytes, out _) && Guid.TryParse(Encoding.UTF8.GetString(bytes).Trim(), out var known))
        {
            return known;
        }

        var made = Guid.NewGuid();
        try
        {
            if (file is not null)
            {
                Directory.CreateDirectory(Path.GetDirectoryName(file)!);
                WholeFile.WriteText(file, made + "\n");
                return made;
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // It then lasts as long as the program runs.
        }

        lasting = false;
        return made;
    }
}
