using StageView.Ground.Files;

namespace StageView.Ground.Tests.Files;

public sealed class WholeFileTests : IDisposable
{
    private readonly TempFolder _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_file_is_written_and_replaced_and_nothing_else_stays()
    {
        WholeFile.Write(_temp["a.bin"], [1, 2, 3]);
        Assert.Equal([1, 2, 3], File.ReadAllBytes(_temp["a.bin"]));
        WholeFile.Write(_temp["a.bin"], [4]);
        Assert.Equal([4], File.ReadAllBytes(_temp["a.bin"]));
        WholeFile.Write(_temp["a.bin"], []);
        Assert.Empty(File.ReadAllBytes(_temp["a.bin"]));
        Assert.Equal(["a.bin"], Directory.GetFiles(_temp.Path).Select(Path.GetFileName));
    }

    /// <summary>Asked of the name alone: a test that fails must not take a device away from its machine.</summary>
    [Fact]
    public void Devices_are_told_from_files()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "devices are no files there");
        Assert.True(WholeFile.IsDevice("/dev/null"));
        Assert.True(WholeFile.IsDevice("/dev/../dev/null"));
        Assert.False(WholeFile.IsDevice("/dev/nothing-of-that-name"));
        Assert.False(WholeFile.IsDevice(_temp["a.bin"]));
        Assert.False(WholeFile.IsDevice("/dev/shm/../shm/a.bin"));
    }

    [Fact]
    public void What_goes_to_a_device_arrives_there()
    {
        Assert.SkipUnless(WholeFile.IsDevice("/dev/full"), "there is no device that is always full");
        var e = Assert.ThrowsAny<IOException>(() => WholeFile.Write("/dev/full", [1, 2, 3]));
        Assert.Contains("/dev/full", e.Message, StringComparison.Ordinal);
        Assert.ThrowsAny<IOException>(() => WholeFile.Write("/dev/full", s => s.Write([1, 2, 3])));
    }

    [Fact]
    public void A_writer_that_fails_half_way_leaves_nothing()
    {
        WholeFile.Write(_temp["a.bin"], [1]);
        Assert.Throws<InvalidDataException>(() => WholeFile.Write(_temp["a.bin"], s =>
        {
            s.Write([2, 3]);
            throw new InvalidDataException();
        }));
        Assert.Equal([1], File.ReadAllBytes(_temp["a.bin"]));
        Assert.Equal(["a.bin"], Directory.GetFiles(_temp.Path).Select(Path.GetFileName));
    }

    [Fact]
    public void Without_its_folder_it_fails_and_makes_none()
    {
        Assert.ThrowsAny<IOException>(() => WholeFile.Write(Path.Combine(_temp["none"], "a.bin"), [1]));
        Assert.False(Directory.Exists(_temp["none"]));
    }

    [Fact]
    public void What_cannot_be_replaced_stays_as_it_was()
    {
        Directory.CreateDirectory(_temp["a.bin"]);
        File.WriteAllText(Path.Combine(_temp["a.bin"], "inside"), "kept");
        Assert.ThrowsAny<Exception>(() => WholeFile.Write(_temp["a.bin"], [1]));
        Assert.Equal("kept", File.ReadAllText(Path.Combine(_temp["a.bin"], "inside")));
    }

    [Fact]
    public void What_is_replaced_keeps_its_rights_and_the_link_that_leads_to_it()
    {
        File.WriteAllText(_temp["there"], "old");
        var link = _temp["link"];
        File.CreateSymbolicLink(link, "there");
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(_temp["there"], UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupExecute);
        }

        WholeFile.Replace(link, "new"u8);
        Assert.Equal("there", File.ResolveLinkTarget(link, false)!.Name);
        Assert.Equal("new", File.ReadAllText(_temp["there"]));
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupExecute, File.GetUnixFileMode(_temp["there"]));
        }

        Assert.Equal(["link", "there"], Directory.GetFiles(_temp.Path).Select(Path.GetFileName).Order());
        Assert.ThrowsAny<IOException>(() => WholeFile.Replace(_temp["none"], "new"u8));
    }

    [Fact]
    public async Task Whoever_reads_meanwhile_finds_one_version_in_full()
    {
        var versions = Enumerable.Range(1, 2).Select(v => Enumerable.Repeat((byte)v, 1_000_000).ToArray()).ToArray();
        WholeFile.Write(_temp["a.bin"], versions[0]);
        using var stop = new CancellationTokenSource();
        var writing = Task.Run(() =>
        {
            for (var i = 0; !stop.IsCancellationRequested; i++)
            {
                WholeFile.Write(_temp["a.bin"], versions[i & 1]);
            }
        }, TestContext.Current.CancellationToken);
        for (var i = 0; i < 200; i++)
        {
            var found = await File.ReadAllBytesAsync(_temp["a.bin"], TestContext.Current.CancellationToken);
            Assert.True(found.AsSpan().SequenceEqual(versions[0]) || found.AsSpan().SequenceEqual(versions[1]), $"{found.Length} bytes, not one version");
        }

        await stop.CancelAsync();
        await writing;
    }
}
