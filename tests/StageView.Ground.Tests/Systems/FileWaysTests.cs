using StageView.Ground.Files;
using StageView.Ground.Systems;

namespace StageView.Ground.Tests.Systems;

public sealed class FileWaysTests : IDisposable
{
    private readonly TempFolder _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_file_that_is_held_for_a_moment_is_replaced_all_the_same()
    {
        var tries = 0;
        var files = new WindowsFiles((from, to, over) =>
        {
            if (++tries < 3)
            {
                throw new IOException("held", unchecked((int)0x80070020));
            }

            File.Move(from, to, over);
        });
        File.WriteAllText(_temp["new"], "new");
        File.WriteAllText(_temp["old"], "old");
        files.MoveOver(_temp["new"], _temp["old"]);
        Assert.Equal(3, tries);
        Assert.Equal("new", File.ReadAllText(_temp["old"]));
    }

    [Fact]
    public void One_that_stays_held_is_named_and_nothing_is_left_beside()
    {
        var files = new WindowsFiles((_, _, _) => throw new UnauthorizedAccessException("denied"));
        File.WriteAllText(_temp["new"], "new");
        File.WriteAllText(_temp["old"], "old");
        var e = Assert.Throws<IOException>(() => files.MoveOver(_temp["new"], _temp["old"]));
        Assert.StartsWith(_temp["old"] + " is held open by another program", e.Message, StringComparison.Ordinal);
        Assert.False(File.Exists(_temp["new"]));
        Assert.Equal("old", File.ReadAllText(_temp["old"]));
    }

    [Fact]
    public void What_is_not_held_fails_at_once()
    {
        var tries = 0;
        var files = new WindowsFiles((_, _, _) =>
        {
            tries++;
            throw new IOException("full", unchecked((int)0x80070070));
        });
        Assert.Throws<IOException>(() => files.MoveOver(_temp["new"], _temp["old"]));
        Assert.Equal(1, tries);
    }

    [Theory]
    [InlineData(@"\\.\NUL", true)]
    [InlineData(@"C:\out\nul.png", false)]
    public void Devices_of_Windows_are_known_by_their_full_names(string full, bool device) => Assert.Equal(device, new WindowsFiles(File.Move).IsDevice(full));

    [Fact]
    public void A_key_is_its_owners_alone_and_takes_the_place_of_what_was_there()
    {
        File.WriteAllText(_temp["key"], "old");
        WholeFile.WriteOwn(_temp["key"], "new"u8);
        Assert.Equal("new", File.ReadAllText(_temp["key"]));
        if (ThisSystem.IsUnix)
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(_temp["key"]));
        }
    }

    [Fact]
    public void Whether_a_folder_takes_files_is_tried()
    {
        Assert.True(OwnFolders.CanWrite(_temp.Path));
        Assert.Empty(Directory.GetFiles(_temp.Path));
        Assert.False(OwnFolders.CanWrite(_temp["none"]));
    }
}
