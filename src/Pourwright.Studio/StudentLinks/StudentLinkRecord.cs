using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.StudentLinks;

/// <summary>A row of `student_links`. Its secret is not in it.</summary>
public sealed record StudentLinkRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }

    /// <summary>A place in a class, or null.</summary>
    public string? Enrolment { get; init; }

    /// <summary>A piece, or null: one of the two is given.</summary>
    public string? Piece { get; init; }

    /// <summary>Null where whoever has it is not on record.</summary>
    public string? Student { get; init; }

    public required byte[] LinkSha256 { get; init; }
    public required long CreateMs { get; init; }
    public required long ExpireMs { get; init; }
    public long? RevokeMs { get; init; }

    /// <summary>What is told of it; its path is added once, where it is made.</summary>
    public StudentLink ToProto()
    {
        var link = new StudentLink
        {
            Name = Name,
            Student = Student ?? "",
            CreateTime = Instants.ToTimestamp(CreateMs),
            ExpireTime = Instants.ToTimestamp(ExpireMs),
            RevokeTime = Instants.ToTimestamp(RevokeMs),
        };
        if (Enrolment is not null) link.Enrolment = Enrolment;
        else link.Piece = Piece;
        return link;
    }
}
