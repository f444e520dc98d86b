using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>Who is told: the site's first contact of the role, else its first owner, else nobody but the inbox.</summary>
public sealed class Recipients(StudioSession session)
{
    private readonly Dictionary<string, IReadOnlyList<ContactRecord>> _contacts = [];

    public ContactRecord? Find(string? site, Contact.Types.Role role) => site is null ? null : Choose(ContactsOf(site), role);

    /// <summary>The rule; <paramref name="contacts"/> in the order the site gave them.</summary>
    public static ContactRecord? Choose(IReadOnlyList<ContactRecord> contacts, Contact.Types.Role role) =>
        contacts.FirstOrDefault(c => c.Role == role) ?? contacts.FirstOrDefault(c => c.Role == Contact.Types.Role.Owner);

    private IReadOnlyList<ContactRecord> ContactsOf(string site) =>
        _contacts.TryGetValue(site, out var known) ? known : _contacts[site] = SiteStore.GetContacts(session, site);
}
