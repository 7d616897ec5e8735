using System.ComponentModel;
using StageView.Ground.Systems;

namespace StageView.Ground.Tests.Systems;

public sealed class OutsideProgramTests : IDisposable
{
    private readonly TempFolder _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Beside_us_comes_first_then_the_path_in_its_order()
    {
        var (beside, first, second) = (Make("beside", "tool"), Make("first", "tool"), Make("second", "tool"));
        var path = string.Join(Path.PathSeparator, Path.GetDirectoryName(first), Path.GetDirectoryName(second));
        Assert.Equal(beside, OutsideProgram.Find("tool", Path.GetDirectoryName(beside)!, path));
        File.Delete(beside);
        Assert.Equal(first, OutsideProgram.Find("tool", Path.GetDirectoryName(beside)!, path));
        File.Delete(first);
        Assert.Equal(second, OutsideProgram.Find("tool", Path.GetDirectoryName(beside)!, path));
        File.Delete(second);
        Assert.Null(OutsideProgram.Find("tool", Path.GetDirectoryName(beside)!, path));
    }

    [Fact]
    public void The_folder_of_a_command_is_none_of_the_path()
    {
        var here = Path.GetRelativePath(Environment.CurrentDirectory, Path.GetDirectoryName(Make("here", "tool"))!);
        Assert.Null(OutsideProgram.Find("tool", _temp["none"], "." + Path.PathSeparator + here));
    }

    [Fact]
    public void What_may_not_be_run_is_no_program()
    {
        Assert.SkipUnless(ThisSystem.IsUnix, "files have no such right there");
        var file = Make("here", "tool");
        if (ThisSystem.IsUnix)
        {
            File.SetUnixFileMode(file, UnixFileMode.UserRead);
        }

        Assert.Null(OutsideProgram.Find("tool", Path.GetDirectoryName(file)!, ""));
    }

    [Fact]
    public void A_path_is_taken_as_it_is_and_a_missing_name_is_told_as_by_the_system()
    {
        var path = _temp[Path.Combine("some", "where")];
        Assert.Equal(path, OutsideProgram.File(path));
        Assert.Equal(2, Assert.Throws<Win32Exception>(() => OutsideProgram.File("no-such-program-anywhere")).NativeErrorCode);
    }

    private string Make(string folder, string name)
    {
        var file = Path.Combine(Directory.CreateDirectory(_temp[folder]).FullName, name + (ThisSystem.IsUnix ? "" : ".exe"));
        File.WriteAllText(file, "");
        if (ThisSystem.IsUnix)
        {
            File.SetUnixFileMode(file, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        }

        return file;
    }
}
